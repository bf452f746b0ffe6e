import type { FlagState } from "../flags/flag.ts";
import type { MessageReason } from "../model/message.ts";
import type { FlagLabel } from "../model/signal.ts";
import { withinHours } from "./hours.ts";
import type { Due, Reachable } from "./who-is-told.ts";

/** A flag that nobody has taken is looked at again each time that so much has passed since the first was told. */
export const RUNG_MS = 300_000;

interface Ladder {
  /** Rungs from what a person was told last to the first time that it is said again, and from then on. */
  readonly first: number;
  readonly next: number;
  /** Times that it is said again to one person. */
  readonly most: number;
}

/** Common practice, no source: nobody publishes minutes for this trade. What only waits for review wakes nobody twice. */
const ladders: Readonly<Record<FlagLabel, Ladder | null>> = {
  "act-now": { first: 1, next: 2, most: 6 },
  look: { first: 6, next: 6, most: 1 },
  "for-review": null,
  "instrument-fault": null,
};
/** By then all that the ladders hold was said. */
const LAST_RUNG = 24;

/** What somebody was sent of a flag. */
export interface Sent {
  readonly person: string;
  readonly why: MessageReason;
  readonly queuedMs: number;
}

/**
 * The rung on which a flag stands now; null once it climbs no further: somebody has it, it was found too late to wake
 * anybody, its label does not call for it, or everything was said.
 *
 * @unit    rungs of `RUNG_MS` since `sinceMs`, when the first person was told, or when it was found
 * @source  common practice, no source
 * @checked tests/unit/notify/who-is-told-again.test.ts
 */
export function rungOf({ state, late, label }: FlagState, sinceMs: number, nowMs: number): number | null {
  const rung = Math.floor((nowMs - sinceMs) / RUNG_MS);
  return state === "waiting" && !late && ladders[label] !== null && rung <= LAST_RUNG ? rung : null;
}

/**
 * Who is told on a rung of a flag that nobody has taken: whoever was told waits for the next time that it is said again;
 * whoever comes later, by `afterMs` or because their hours have begun since, hears of it first now.
 *
 * @unit    `rung` and `sinceMs` as in `rungOf`
 * @source  common practice, no source
 * @checked tests/unit/notify/who-is-told-again.test.ts
 */
export function whoIsToldAgain(
  persons: readonly Reachable[],
  news: {
    readonly label: FlagLabel;
    /** In order. */
    readonly sent: readonly Sent[];
    readonly sinceMs: number;
    readonly rung: number;
    /** On the site's clock. */
    readonly minuteOfDay: number;
  },
): readonly Due[] {
  const { label, sent, sinceMs, rung, minuteOfDay } = news;
  const ladder = ladders[label];
  if (ladder === null) return [];
  return persons
    .filter(({ labels, hours }) => labels.includes(label) && withinHours(hours, minuteOfDay))
    .flatMap(({ id, afterMs }): Due[] => {
      const own = sent.filter(({ person }) => person === id);
      const last = own.at(-1);
      if (last === undefined) return rung * RUNG_MS >= afterMs ? [{ person: id, why: "opened" }] : [];
      const times = own.filter(({ why }) => why === "again").length;
      const lastRung = Math.floor((last.queuedMs - sinceMs) / RUNG_MS);
      const due = rung - lastRung >= (times === 0 ? ladder.first : ladder.next);
      return due && times < ladder.most ? [{ person: id, why: "again" }] : [];
    });
}

/**
 * Who hears that somebody has taken, or closed, a flag: everybody who was told of it and has not heard that yet, but the
 * one who has it.
 *
 * @shape   `sent` in order
 * @source  common practice, no source
 * @checked tests/unit/notify/who-is-told-again.test.ts
 */
export function whoIsRelieved(
  persons: readonly { readonly id: string; readonly name: string }[],
  { state, taken, done }: Pick<FlagState, "state" | "taken" | "done">,
  sent: readonly Sent[],
): readonly Due[] {
  if (state === "waiting") return [];
  const by = state === "taken" ? taken?.by : done?.by;
  return persons
    .filter(({ id, name }) => {
      const last = sent.findLast(({ person }) => person === id);
      return last !== undefined && last.why !== "over" && name !== by;
    })
    .map(({ id }) => ({ person: id, why: "over" }));
}
