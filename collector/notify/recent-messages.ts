import type { Message } from "../../spc/model/message.ts";
import type { FlagLabel } from "../../spc/model/signal.ts";
import { FLOOD_MESSAGES, roomLeft } from "../../spc/notify/flood.ts";
import type { Journal } from "../store/journal.ts";

/** What each person was sent last, of whatever flags. */
export interface RecentMessages {
  /** Null where it is not among the last ones. */
  toldAgainMs(person: string): number | null;
  roomFor(person: string, label: FlagLabel, nowMs: number): number;
  note(message: Message): void;
}

/** Of all persons; a start knows no more. */
const NEWEST = 200;
/** Of one person: a flood of each label, and more. */
const KEPT = 8 * FLOOD_MESSAGES;

export function recentMessages(journal: Journal): RecentMessages {
  const byPerson = new Map<string, Message[]>();
  const of = (person: string): readonly Message[] => byPerson.get(person) ?? [];
  const note = (message: Message): void => {
    // A trial tells of no flag, and what is over asks for nothing.
    if (message.flag !== null && message.why !== "over")
      byPerson.set(message.person, [...of(message.person), message].slice(-KEPT));
  };
  for (const entry of journal.read({ kinds: ["message"], newestFirst: true, limit: NEWEST }).toReversed()) {
    if (entry.kind === "message") note(entry.body);
  }
  return {
    toldAgainMs: (person) => of(person).findLast(({ why }) => why === "again")?.queuedMs ?? null,
    roomFor: (person, label, nowMs) => roomLeft(of(person), label, nowMs),
    note,
  };
}
