import type { Request, Response } from "express";
import type { Problem } from "../problem.ts";
import type { Access } from "./access.ts";
import type { Caller } from "./callers.ts";
import { subnetOf } from "./subnet.ts";

/**
 * Refusals that somebody who looks for an intruder wants to read. That one has to sign in first is everyday, and not
 * among them; a wrong sign-in is told where it is known for which account.
 */
const told: ReadonlySet<string> = new Set([
  ...["wrong-password", "wrong-pin", "too-many-tries", "link-gone", "key-gone", "wrong-token"],
  ...["not-allowed", "foreign-origin", "unknown-host"],
]);

const MINUTE_MS = 60_000;
/** Beyond it those of more than a minute ago are forgotten, and if there are none, all are. */
const MOST_KEPT = 1_000;

/** Writes refusals into the log: each kind once a minute by who and from where, so that whoever tries fast fills no disk. */
export function tellRefusals(access: Pick<Access, "report">, nowMs: () => number) {
  const lastMs = new Map<string, number>();
  return (problem: Problem, request: Request, response: Response): void => {
    if (!told.has(problem.code)) return;
    const { caller } = response.locals as { readonly caller?: Caller };
    const who = caller?.person?.id ?? caller?.key?.id ?? caller?.kind ?? "nobody";
    const network = subnetOf(request.socket.remoteAddress);
    const key = `${problem.code} ${who} ${network}`;
    const now = nowMs();
    if (now - (lastMs.get(key) ?? Number.NEGATIVE_INFINITY) < MINUTE_MS) return;
    if (lastMs.size >= MOST_KEPT) {
      for (const [one, atMs] of lastMs) if (now - atMs >= MINUTE_MS) lastMs.delete(one);
      if (lastMs.size >= MOST_KEPT) lastMs.clear();
    }
    lastMs.set(key, now);
    const { method, path } = request;
    access.report("warn", { code: problem.code, who, network, method, path: path.slice(0, 100) }, "refused");
  };
}
