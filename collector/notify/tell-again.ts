import type { FlagState, FlagTable } from "../../spc/flags/flag.ts";
import type { Message } from "../../spc/model/message.ts";
import type { MessageParts } from "../../spc/notify/message-text.ts";
import type { Due, Reachable } from "../../spc/notify/who-is-told.ts";
import { RUNG_MS, rungOf, whoIsRelieved, whoIsToldAgain } from "../../spc/notify/who-is-told-again.ts";
import { PAST_MS } from "../store/entries.ts";
import type { RecentMessages } from "./recent-messages.ts";
import type { SiteClock } from "./site-clock.ts";

/** A person is told again of one flag at a time: the next one's turn comes a rung later, or a moment sooner. */
const TURN_MS = RUNG_MS - 10_000;

export interface TellAgain {
  /** Counts from when the flag was found; nothing new for one that is counted already. Of one that somebody has, that is told. */
  watch(flag: FlagState): void;
  /** When the next look is due; null while nothing waits. */
  dueMs(): number | null;
  /** What is due of the flags as they stand in the table. */
  look(table: FlagTable, nowMs: number): void;
}

/** Says again what nobody has taken, and once somebody has it, that nobody need come. All that it remembers follows from the journal, so that a start repeats nothing. */
export function tellAgain(parts: {
  readonly persons: readonly (Reachable & { readonly name: string })[];
  readonly clock: SiteClock;
  readonly recent: RecentMessages;
  /** Under a common cause that is told already. */
  isUnder(table: FlagTable, flag: FlagState): boolean;
  toldOf(flag: string): readonly Message[];
  write(
    flag: FlagState,
    due: readonly Due[],
    messages: readonly Message[],
    at: { readonly nowMs: number; readonly untaken: MessageParts["untaken"] },
  ): void;
}): TellAgain {
  const { persons, clock, recent, isUnder, toldOf, write } = parts;
  const nextMs = new Map<string, number>();

  const lookAt = (flag: FlagState, table: FlagTable, nowMs: number): void => {
    const messages = toldOf(flag.id);
    const sinceMs = messages[0]?.queuedMs ?? flag.foundMs;
    const rung = rungOf(flag, sinceMs, nowMs);
    if (rung === null) {
      nextMs.delete(flag.id);
      // After a stop of ours it may be long ago.
      const isNews = nowMs - (decidedMs(flag) ?? nowMs) <= PAST_MS;
      if (isNews) write(flag, whoIsRelieved(persons, flag, messages), messages, { nowMs, untaken: null });
      return;
    }
    nextMs.set(flag.id, sinceMs + (rung + 1) * RUNG_MS);
    if (rung === 0 || isUnder(table, flag)) return;
    const news = { label: flag.label, sent: messages, sinceMs, rung, minuteOfDay: clock.minuteOfDay(nowMs) };
    // Where many wait, they take turns.
    const due = whoIsToldAgain(persons, news).filter(
      ({ person, why }) => why !== "again" || nowMs - (recent.toldAgainMs(person) ?? 0) >= TURN_MS,
    );
    const others = [...nextMs.keys()].filter((id) => id !== flag.id && isWaiting(table.get(id))).length;
    write(flag, due, messages, { nowMs, untaken: { minutes: Math.round((nowMs - sinceMs) / 60_000), others } });
  };

  return {
    watch: (flag) => {
      const climbs = rungOf({ ...flag, state: "waiting" }, flag.foundMs, flag.foundMs) !== null;
      if (climbs && !nextMs.has(flag.id)) nextMs.set(flag.id, flag.foundMs + RUNG_MS);
    },
    dueMs: () => (nextMs.size === 0 ? null : Math.min(...nextMs.values())),
    look: (table, nowMs) => {
      for (const [id, atMs] of [...nextMs]) {
        const flag = table.get(id);
        if (flag === undefined) nextMs.delete(id);
        else if (atMs <= nowMs || !isWaiting(flag)) lookAt(flag, table, nowMs);
      }
    },
  };
}

/** When somebody took it, or closed what nobody had taken. */
export function decidedMs({ taken, done }: FlagState): number | null {
  return taken?.atMs ?? done?.atMs ?? null;
}

function isWaiting(flag: FlagState | undefined): boolean {
  return flag?.state === "waiting" && !flag.late;
}
