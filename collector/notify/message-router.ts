import { type FlagState, type FlagTable, noFlags } from "../../spc/flags/flag.ts";
import { applyEntries } from "../../spc/flags/fold.ts";
import type { EntryKind, StoredEntry } from "../../spc/model/journal-entry.ts";
import type { Message, Told } from "../../spc/model/message.ts";
import { whoIsTold } from "../../spc/notify/who-is-told.ts";
import type { Site } from "../platform/settings/site.ts";
import { messageEntry, PAST_MS } from "../store/entries.ts";
import type { Journal } from "../store/journal.ts";
import { siteClock } from "./site-clock.ts";
import { flagMessage } from "./write-message.ts";

/** Turns what was just found into messages, in the transaction that keeps it: either both are on disk or neither. */
export interface MessageRouter {
  /** `fresh`: what the journal took as new. A replay finds nothing new, and so tells nobody twice. */
  route(fresh: readonly StoredEntry[], nowMs: number): void;
}

const flagKinds: readonly EntryKind[] = ["signal", "silence", "taken", "done"];

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

  const tell = (flag: FlagState, labelBefore: FlagState["label"] | null, nowMs: number): void => {
    const messages = toldOf(flag.id);
    const told = new Map<string, Told>(messages.map((message) => [message.person, message.told]));
    const sigma = sigmaOf(journal, flag.characteristic);
    const due = whoIsTold(site.persons, { flag, labelBefore, told, sigma, minuteOfDay: clock.minuteOfDay(nowMs) });
    journal.append(
      due.map((one) => {
        const nth = messages.filter(({ person }) => person === one.person).length + 1;
        return messageEntry(flag.station, flagMessage(flag, one, nth, { site, clock, nowMs }));
      }),
    );
  };

  return {
    route: (fresh, nowMs) => {
      const found = new Set(fresh.flatMap((entry) => worthTelling(entry, nowMs) ?? []));
      if (found.size === 0) return;
      takeIn(fresh[0]!.seq);
      const before = table;
      takeIn();
      for (const id of found) {
        const flag = table.get(id);
        if (flag !== undefined) tell(flag, before.get(id)?.label ?? null, nowMs);
      }
    },
  };
}

/** The flag that an entry brings news of; what was found late is past, and is news to nobody. */
function worthTelling(entry: StoredEntry, nowMs: number): string | null {
  if (entry.kind === "signal") return entry.body.late || nowMs - entry.atMs > PAST_MS ? null : entry.body.signal.flag;
  return entry.kind === "silence" ? entry.body.flag : null;
}

/** Of single values, under the newest limits of a characteristic. */
function sigmaOf(journal: Journal, characteristic: string | null): number | null {
  if (characteristic === null) return null;
  const [newest] = journal.read({ kinds: ["limits"], subject: characteristic, newestFirst: true, limit: 1 });
  if (newest?.kind !== "limits") return null;
  return newest.body.scheme?.sigma ?? newest.body.location.sigma;
}
