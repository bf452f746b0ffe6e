import { createPublicKey, verify } from "node:crypto";
import type { IncomingHttpHeaders, IncomingMessage, ServerResponse } from "node:http";
import { createServer } from "node:https";
import type { AddressInfo } from "node:net";
import { type PhoneKeys, phoneKeys } from "./decrypt-push.ts";
import type { ThrowAwayAuthority } from "./throw-away-authority.ts";

/** A push service on this machine, over TLS, that takes nothing that RFC 8030, 8291 and 8292 do not allow. */
export interface PushService {
  readonly origin: string;
  /** `localhost:port`, as the settings name it. */
  readonly host: string;
  /** A phone that subscribed with this server's key. */
  subscribe(publicKey: string): Phone;
  /** Plays these instead of a true answer, in their order; `silent` never answers, `hang-up` closes. */
  play(...answers: readonly Played[]): void;
  /** Every request, refused ones too. */
  readonly requests: readonly SeenPush[];
  /** Waits this long before it takes a message, and again before it answers. */
  delayMs: number;
  close(): Promise<void>;
}

export interface Phone {
  readonly subscription: {
    readonly endpoint: string;
    readonly keys: { readonly p256dh: string; readonly auth: string };
  };
  readonly keys: PhoneKeys;
  /** What waits for it: the newest of each topic. */
  stored(): readonly SeenPush[];
  read(push: SeenPush): { readonly notification: Readonly<Record<string, unknown>> & { readonly data: PushedData } };
  /** The service forgets it. */
  drop(): void;
}

export interface PushedData {
  readonly message: string;
  readonly device: string;
  readonly token: string;
  readonly flag: string | null;
}

export interface SeenPush {
  readonly path: string;
  readonly headers: IncomingHttpHeaders;
  readonly body: Buffer;
  readonly atMs: number;
  readonly status: number | null;
}

export type Played =
  | number
  | { readonly status: number; readonly headers: Readonly<Record<string, string>> }
  | "silent"
  | "hang-up";

interface Subscribed {
  readonly publicKey: string;
  readonly waiting: Map<string, SeenPush>;
}

export async function pushService(authority: ThrowAwayAuthority): Promise<PushService> {
  const phones = new Map<string, Subscribed>();
  const played: Played[] = [];
  const requests: SeenPush[] = [];
  let unnamed = 0;

  const take = async (request: IncomingMessage, response: ServerResponse): Promise<void> => {
    const chunks: Buffer[] = [];
    for await (const chunk of request) chunks.push(chunk as Buffer);
    const { headers, url = "" } = request;
    const body = Buffer.concat(chunks);
    const seen = (status: number | null): SeenPush => {
      const push = { path: url, headers, body, atMs: Date.now(), status };
      requests.push(push);
      return push;
    };
    const next = played.shift();
    if (next === "silent") return void seen(null);
    if (next === "hang-up") {
      seen(null);
      request.socket.destroy();
      return;
    }
    if (service.delayMs > 0) await new Promise((resolve) => setTimeout(resolve, service.delayMs));
    const status = typeof next === "number" ? next : (next?.status ?? judge(phones.get(url), request, body));
    const push = seen(status);
    if (status === 201) phones.get(url)?.waiting.set(String(headers["topic"] ?? `untitled ${unnamed++}`), push);
    if (service.delayMs > 0) await new Promise((resolve) => setTimeout(resolve, service.delayMs));
    response.writeHead(status, typeof next === "object" ? next.headers : { TTL: headers["ttl"] ?? "0" }).end();
  };

  const server = createServer({ cert: authority.cert, key: authority.key }, (request, response) => {
    take(request, response).catch(() => request.socket.destroy());
  });
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  const host = `localhost:${(server.address() as AddressInfo).port}`;
  const service: PushService = {
    ...{ origin: `https://${host}`, host, requests, delayMs: 0 },
    subscribe: (publicKey) => {
      const path = `/p/${phones.size + 1}`;
      const keys = phoneKeys();
      const waiting = new Map<string, SeenPush>();
      phones.set(path, { publicKey, waiting });
      return {
        subscription: { endpoint: `https://${host}${path}`, keys: { p256dh: keys.p256dh, auth: keys.auth } },
        keys,
        stored: () => [...waiting.values()],
        read: (push) => JSON.parse(keys.decrypt(push.body).toString("utf8")),
        drop: () => void phones.delete(path),
      };
    },
    play: (...answers) => void played.push(...answers),
    close: () => {
      server.closeAllConnections();
      return new Promise((resolve) => server.close(() => resolve()));
    },
  };
  return service;

  /** What a true service answers, from the texts of the RFCs. */
  function judge(phone: Subscribed | undefined, request: IncomingMessage, body: Buffer): number {
    const all = (name: string): readonly string[] =>
      request.rawHeaders.filter((_, i) => i % 2 === 1 && request.rawHeaders[i - 1]?.toLowerCase() === name);
    if (request.method !== "POST") return 405;
    if (phone === undefined) return 410;
    const [ttl, ...more] = all("ttl");
    if (ttl === undefined || more.length > 0 || !/^\d+$/.test(ttl)) return 400;
    const urgencies = all("urgency");
    if (urgencies.length > 1 || !/^(very-low|low|normal|high)?$/.test(urgencies[0] ?? "")) return 400;
    const topics = all("topic");
    if (topics.length > 1 || (topics[0] !== undefined && !/^[A-Za-z0-9_-]{1,32}$/.test(topics[0]))) return 400;
    if (request.headers["content-encoding"] !== "aes128gcm") return 400;
    if (body.length > 4096) return 413;
    return vouched(request.headers.authorization, phone.publicKey);
  }

  /** RFC 8292: the token's signature, audience and end. */
  function vouched(header: string | undefined, publicKey: string): number {
    const parts = /^vapid t=([\w-]+)\.([\w-]+)\.([\w-]+), ?k=([\w-]+)$/.exec(header ?? "");
    if (parts === null) return 401;
    const [, head, claims, signature, key] = parts as unknown as [string, string, string, string, string];
    if (key !== publicKey) return 403;
    const point = Buffer.from(key, "base64url");
    const jwk = {
      ...{ kty: "EC", crv: "P-256" },
      ...{ x: point.subarray(1, 33).toString("base64url"), y: point.subarray(33).toString("base64url") },
    };
    const signer = { key: createPublicKey({ key: jwk, format: "jwk" }), dsaEncoding: "ieee-p1363" } as const;
    const signed = verify("sha256", Buffer.from(`${head}.${claims}`), signer, Buffer.from(signature, "base64url"));
    if (!signed) return 403;
    const { aud, exp, sub } = JSON.parse(Buffer.from(claims, "base64url").toString()) as Record<string, unknown>;
    const nowS = Date.now() / 1000;
    if (aud !== `https://${host}` || typeof exp !== "number" || exp < nowS || exp > nowS + 24 * 3600) return 403;
    return /^(mailto:|https:)/.test(String(sub)) ? 201 : 403;
  }
}
