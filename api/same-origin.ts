import type { IncomingMessage } from "node:http";
import type { NextFunction, Request, Response } from "express";
import { Problem } from "./problem.ts";

/** Whether a browser sends this for one of our own pages, or no browser sends it at all. */
export function isOwnPage(request: IncomingMessage): boolean {
  const { origin, host } = request.headers;
  const site = request.headers["sec-fetch-site"];
  if (site !== undefined && site !== "same-origin" && site !== "none") return false;
  if (origin === undefined) return true;
  return URL.canParse(origin) && new URL(origin).host === host;
}

/** State changes: JSON only, which no plain form of another site can send, and from our own pages only. */
export function guardChanges(request: Request, _response: Response, next: NextFunction): void {
  if (!["GET", "HEAD", "OPTIONS"].includes(request.method)) refuseForeign(request);
  next();
}

function refuseForeign(request: Request): void {
  if (!isOwnPage(request)) {
    const found = request.headers.origin ?? `Sec-Fetch-Site: ${String(request.headers["sec-fetch-site"])}`;
    const errors = [{ place: "header/origin", found, expected: "our own page, or no browser" }];
    throw new Problem(403, "foreign-origin", "a page of another site may not change anything here", { errors });
  }
  if (request.method === "POST" && request.is("application/json") !== "application/json") {
    const found = request.headers["content-type"] ?? "nothing";
    const errors = [{ place: "header/content-type", found, expected: "application/json" }];
    throw new Problem(415, "not-json", "the body must be application/json", { errors });
  }
}
