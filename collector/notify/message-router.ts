import { type FlagState, type FlagTable, noFlags } from "../../spc/flags/flag.ts";
import { applyEntries } from "../../spc/flags/fold.ts";
import type { EntryKind, StoredEntry } from "../../spc/model/journal-entry.ts";
import type { Message, Told } from "../../spc/model/message.ts";
import type { FlagLabel } from "../../spc/model/signal.ts";
import type { MessageParts } from "../../spc/notify/message-text.ts";
import { type Due, whoIsTold } from "../../spc/notify/who-is-told.ts";
import { durationMs } from "../platform/settings/schema.ts";
import type { Site } from "../platform/settings/site.ts";
import { messageEntry, PAST_MS } from "../store/entries.ts";
import type { Journal } from "../store/journal.ts";
import { recentMessages } from "./recent-messages.ts";
import { siteClock } from "./site-clock.ts";
import { decidedMs, tellAgain } from "./tell-again.ts";
import { flagMessage } from "./write-message.ts";

/** Turns what was just found into messages, in the transaction that keeps it: either both are on disk or neither. */
export interface MessageRouter {
  /** `fresh`: what the journal took as new. A replay finds nothing new, and so tells nobody twice. */
  route(fresh: readonly StoredEntry[], nowMs: number): void;
  /**
   * Sends what was held back for a common cause that did not come, and says again what nobody has taken; called inside a
   * transaction of its own.
   */
  release(nowMs: number): void;
  /** When something of these is due next; null while nothing is. */
  dueMs(): number | null;
}

const flagKinds: readonly EntryKind[] = ["signal", "silence", "instrument", "common", "taken", "done"];

/** How long a first message waits for flags of what the station shares with others. */
const heldMs: Readonly<Record<FlagLabel, number>> = {
  "act-now": 20_000,
  look: 300_000,
  "instrument-fault": 300_000,
  "for-review": 300_000,
};

/** After a transaction that failed it must be made anew, like all that remembers what the journal holds. */
export function messageRouter(site: Site, journal: Journal): MessageRouter {
  const clock = siteClock(site.zone);
  let table: FlagTable = noFlags;
  let seq = 0;

  const takeIn = (beforeSeq?: number): void => {
    const entries = journal.read({
      ...{ kinds: flagKinds, afterSeq: seq },
      ...(beforeSeq === undefined ? {} : { beforeSeq }),
    });
    table = applyEntries(table, entries);
    seq = entries.at(-1)?.seq ?? seq;
  };
  // Now rather than at the first signal, which would wait for it inside its transaction.
  takeIn();
  const toldOf = (flag: string): readonly Message[] =>
    journal.read({ kinds: ["message"], subject: flag }).flatMap((one) => (one.kind === "message" ? [one.body] : []));

  const persons = site.persons.map(({ after, ...one }) => ({
    ...one,
    afterMs: after === undefined ? 0 : durationMs(after),
  }));

  const recent = recentMessages(journal);
  const write = (
    flag: FlagState,
    due: readonly Due[],
    messages: readonly Message[],
    at: { readonly nowMs: number; readonly untaken: MessageParts["untaken"] },
  ): void => {
    journal.append(
      due.flatMap((one) => {
        const room = one.why === "over" ? Number.POSITIVE_INFINITY : recent.roomFor(one.person, flag.label, at.nowMs);
        // In a flood: the last one that there was room for has said so.
        if (room === 0) return [];
        const nth = messages.filter(({ person }) => person === one.person).length + 1;
        const message = flagMessage(flag, one, nth, { site, clock, ...at, flood: room === 1 });
        recent.note(message);
        return [messageEntry(flag.station, message)];
      }),
    );
  };
  const tell = (flag: FlagState, labelBefore: FlagState["label"] | null, nowMs: number): void => {
    const messages = toldOf(flag.id);
    const told = new Map<string, Told>(messages.map((message) => [message.person, message.told]));
    const sigma = sigmaOf(journal, flag.characteristic);
    const due = whoIsTold(persons, { flag, labelBefore, told, sigma, minuteOfDay: clock.minuteOfDay(nowMs) });
    write(flag, due, messages, { nowMs, untaken: null });
  };

  const again = tellAgain({ persons, clock, recent, isUnder, toldOf, write });

  const shares = sharing(site);
  const held = new Map<string, number>();
  const hold = (flag: FlagState): void => {
    held.set(flag.id, flag.foundMs + heldMs[flag.label]);
  };
  // What a stop of ours came between: held, and nobody was told.
  const startMs = [...table.values()].reduce((last, { foundMs }) => Math.max(last, foundMs), 0) - PAST_MS;
  for (const flag of table.values()) {
    const waits = flag.state === "waiting" && !flag.late && flag.foundMs >= startMs && shares.has(flag.station);
    if (waits && flag.common === undefined && toldOf(flag.id).length === 0) hold(flag);
    if (flag.state === "waiting" || (decidedMs(flag) ?? 0) >= startMs) again.watch(flag);
  }

  return {
    dueMs: () => {
      // Somebody may have taken one of them.
      if (again.dueMs() !== null && journal.lastSeq() !== seq) return 0;
      const due = Math.min(...held.values(), again.dueMs() ?? Number.POSITIVE_INFINITY);
      return due === Number.POSITIVE_INFINITY ? null : due;
    },
    release: (nowMs) => {
      takeIn();
      for (const [id, atMs] of [...held]) {
        if (atMs > nowMs) continue;
        held.delete(id);
        const flag = table.get(id);
        if (flag !== undefined && !isUnder(table, flag) && nowMs - flag.foundMs <= PAST_MS) tell(flag, null, nowMs);
      }
      again.look(table, nowMs);
    },
    route: (fresh, nowMs) => {
      const found = new Set(fresh.flatMap((entry) => worthTelling(entry, nowMs) ?? []));
      if (found.size === 0) return;
      takeIn(fresh[0]!.seq);
      const before = table;
      takeIn();
      for (const id of found) {
        const flag = table.get(id);
        // Whoever hears of what they have in common hears no more of each.
        if (flag === undefined || isUnder(table, flag)) continue;
        const opened = !before.has(id);
        if (opened && flag.common === undefined && shares.has(flag.station)) hold(flag);
        else if (held.has(id)) hold(flag);
        else tell(flag, before.get(id)?.label ?? null, nowMs);
        again.watch(flag);
      }
    },
  };
}

/** The flag that an entry brings news of; what was found late is past, and is news to nobody. */
function worthTelling(entry: StoredEntry, nowMs: number): string | null {
  if (entry.kind === "signal") return entry.body.late || nowMs - entry.atMs > PAST_MS ? null : entry.body.signal.flag;
  if (entry.kind === "instrument") return entry.body.late || entry.body.state === "ended" ? null : entry.body.flag;
  if (entry.kind === "common") return entry.body.late ? null : entry.body.flag;
  return entry.kind === "silence" ? entry.body.flag : null;
}

/** Under a common cause that is still open. */
function isUnder(table: FlagTable, { parent }: FlagState): boolean {
  return parent !== undefined && table.get(parent)?.state !== "done";
}

/** Stations that share a supply with two others or more. */
function sharing({ stations }: Site): ReadonlySet<string> {
  const feeds = new Map<string, number>();
  for (const { fedBy } of stations) for (const id of fedBy) feeds.set(id, (feeds.get(id) ?? 0) + 1);
  return new Set(stations.filter(({ fedBy }) => fedBy.some((id) => feeds.get(id)! >= 3)).map(({ id }) => id));
}

/** Of single values, under the newest limits of a characteristic. */
function sigmaOf(journal: Journal, characteristic: string | null): number | null {
  if (characteristic === null) return null;
  const [newest] = journal.read({ kinds: ["limits"], subject: characteristic, newestFirst: true, limit: 1 });
  if (newest?.kind !== "limits") return null;
  return newest.body.scheme?.sigma ?? newest.body.location.sigma;
}
