import type { Router } from "express";
import { needs, type Right } from "../contract/access.ts";
import { endpoints } from "../contract/endpoints.ts";
import type { Access } from "../people/access.ts";
import { Problem } from "../problem.ts";
import { expressPath } from "../serve.ts";

/** What is decided where the metal is: a line may be cut off from the office, and two must not decide at once. */
const decided: readonly Right[] = [
  ...(["handle-flags", "write-values", "say-set-up", "recompute"] as const),
  ...(["try-limits", "propose-limits", "agree-limits", "withdraw-limits", "own-phone", "hand-in-readings"] as const),
];

/** What only the line's own folder holds. */
const seen = [
  "instruments",
  "quarantine",
  "counts",
  "messages",
  "message",
] as const satisfies readonly (keyof typeof endpoints)[];

/** Refuses what is decided or seen at the line alone, and says where. */
export function leaveToTheLine(router: Router): void {
  for (const [name, { method, path }] of Object.entries(endpoints)) {
    const need = needs[name as keyof typeof endpoints];
    const isDecided = need !== "anyone" && decided.includes(need.right);
    const isSeen = seen.some((one) => one === name);
    if (!isDecided && !isSeen) continue;
    router[method](expressPath(path), () => {
      const words = isDecided ? "decided" : "seen";
      throw new Problem(
        403,
        "at-the-line",
        `this is ${words} on the pages of the line itself; here all lines are shown`,
      );
    });
  }
}

/** So that pages offer nobody what is refused. */
export function withoutDecisions(access: Access): Access {
  return {
    ...access,
    identify: (request, nowMs) => {
      const caller = access.identify(request, nowMs);
      return { ...caller, rights: caller.rights.filter((right) => !decided.includes(right)) };
    },
  };
}
