import type { IncomingMessage } from "node:http";
import { TLSSocket } from "node:tls";
import type { Response } from "express";

export type CookieKind = "session" | "display";

const names = { session: "steadypour", display: "steadypour-display" } as const;
const DISPLAY_S = 400 * 86_400;

/** Over TLS a name that browsers take from us alone, and never send unencrypted. */
export function cookieName(kind: CookieKind, request: IncomingMessage): string {
  return request.socket instanceof TLSSocket ? `__Host-${names[kind]}` : names[kind];
}

export function cookieOf(kind: CookieKind, request: IncomingMessage): string | null {
  const name = cookieName(kind, request);
  for (const part of (request.headers.cookie ?? "").split(";")) {
    const at = part.indexOf("=");
    if (at > 0 && part.slice(0, at).trim() === name) return part.slice(at + 1).trim() || null;
  }
  return null;
}

/** No script reads it, no other site's page sends it. A session's goes with the browser, a display's stays. */
export function setCookie(response: Response, kind: CookieKind, value: string | null): void {
  const { req } = response;
  const secure = req.socket instanceof TLSSocket ? "; Secure" : "";
  const age = value === null ? "; Max-Age=0" : kind === "display" ? `; Max-Age=${DISPLAY_S}` : "";
  response.append(
    "Set-Cookie",
    `${cookieName(kind, req)}=${value ?? ""}; Path=/; HttpOnly; SameSite=Strict${secure}${age}`,
  );
}
