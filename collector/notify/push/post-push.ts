import { lookup } from "node:dns";
import { request } from "node:https";
import { BlockList, isIP, type LookupFunction } from "node:net";
import type { PushRequest } from "./push-request.ts";

/** What a push service said; `status` null where it said nothing, with the reason in words. */
export interface PushAnswer {
  readonly status: number | null;
  readonly retryAfter: string | null;
  /** Seconds; a service may keep a message for less than it was asked. */
  readonly ttl: string | null;
  readonly words: string;
}

/** Hands a message to a push service. Never rejects: that nobody answers is an answer too. */
export type PostPush = (push: PushRequest) => Promise<PushAnswer>;

const PATIENCE_MS = 10_000;

/** Networks that a subscription from a browser has no business in: who may subscribe could probe the plant with it. */
const inside = new BlockList();
for (const [net, prefix] of [
  ["0.0.0.0", 8],
  ["10.0.0.0", 8],
  ["100.64.0.0", 10],
  ["127.0.0.0", 8],
  ["169.254.0.0", 16],
  ["172.16.0.0", 12],
  ["192.168.0.0", 16],
] as const) {
  inside.addSubnet(net, prefix, "ipv4");
}
inside.addAddress("::", "ipv6");
inside.addAddress("::1", "ipv6");
inside.addSubnet("fc00::", 7, "ipv6");
inside.addSubnet("fe80::", 10, "ipv6");

/**
 * `services`: hosts with their port that are reached wherever they lie, for a push service inside the plant. `authority`:
 * the only one that may vouch for services, as PEM; left out, those that Node trusts.
 */
export function postPush(services: readonly string[], authority?: string): PostPush {
  const trust = authority === undefined ? {} : { ca: authority };
  return (push) =>
    new Promise((resolve) => {
      const url = new URL(push.url);
      const own = services.includes(`${url.hostname}:${url.port || "443"}`);
      const silent = (words: string): void => resolve({ status: null, retryAfter: null, ttl: null, words });
      if (url.protocol !== "https:" || (!own && isIP(url.hostname.replaceAll(/[[\]]/g, "")) !== 0)) {
        silent("not a public https address");
        return;
      }
      const sent = request(
        url,
        // No agent: a connection kept open to a service that has gone away would cost the next message its first try.
        { method: "POST", headers: push.headers, agent: false, ...trust, ...(own ? {} : { lookup: publicOnly }) },
        (answer) => {
          const { "retry-after": retryAfter = null, ttl } = answer.headers;
          const status = answer.statusCode ?? null;
          // A service may never end its answer; what it says of a failure is of use in our log alone.
          answer.resume();
          clearTimeout(timer);
          resolve({ status, retryAfter, ttl: typeof ttl === "string" ? ttl : null, words: String(status) });
          answer.on("error", () => answer.destroy());
        },
      );
      const timer = setTimeout(() => sent.destroy(new Error("no answer within 10 s")), PATIENCE_MS);
      sent.on("error", (error: NodeJS.ErrnoException) => {
        clearTimeout(timer);
        silent(error.code ?? error.message);
      });
      sent.end(push.body);
    });
}

/** Resolves names to public addresses alone, at the moment of the connection, so that a name cannot change its mind. */
const publicOnly: LookupFunction = (host, options, done) => {
  lookup(host, { ...options, all: true }, (error, addresses) => {
    const open = (addresses ?? []).filter(({ address, family }) => !isInside(address, family));
    const [first] = open;
    if (error !== null || first === undefined) {
      done(error ?? new Error(`${host} is no public address`), "", 0);
    } else if (options.all === true) done(null, open);
    else done(null, first.address, first.family);
  });
};

function isInside(address: string, family: number): boolean {
  const mapped = /^::ffff:(\d+\.\d+\.\d+\.\d+)$/i.exec(address)?.[1];
  if (mapped !== undefined) return inside.check(mapped, "ipv4");
  return inside.check(address, family === 6 ? "ipv6" : "ipv4");
}
