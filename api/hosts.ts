import type { IncomingMessage } from "node:http";
import { isIP } from "node:net";
import { hostname } from "node:os";
import type { RequestHandler } from "express";
import { Problem } from "./problem.ts";

/**
 * The names we answer to. A page of another site whose name was made to lead here (DNS rebinding) is of the same origin to
 * its browser; its name is not ours. An address cannot be made to lead elsewhere, so every address is taken.
 */
export function knowsHost(names: readonly string[]): (request: IncomingMessage) => boolean {
  const own = new Set(["localhost", hostname().toLowerCase(), ...names]);
  return ({ headers: { host } }) => {
    if (host === undefined) return true;
    const name = host.replace(/:\d{1,5}$/, "").toLowerCase();
    const address = /^\[(.*)\]$/.exec(name)?.[1] ?? name;
    return isIP(address) !== 0 || own.has(name.replace(/\.$/, ""));
  };
}

export function guardHost(knows: (request: IncomingMessage) => boolean): RequestHandler {
  return (request, _response, next) => {
    if (knows(request)) return next();
    const found = request.headers.host ?? "";
    const errors = [{ place: "header/host", found, expected: "an address, this host's name, or one of doors.hosts" }];
    throw new Problem(421, "unknown-host", "the request names a host that we are not", { errors });
  };
}
