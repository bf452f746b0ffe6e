import type { Bus } from "../collector/platform/bus.ts";
import type { Clock } from "../collector/platform/clock.ts";
import type { Site, Station } from "../collector/platform/settings/site.ts";
import type { Actor, ChangeRecord } from "../collector/store/change-record.ts";
import { setUpEntry, setUpEntryId, setUpId } from "../collector/store/entries.ts";
import type { Journal } from "../collector/store/journal.ts";
import type { SetUp, StoredEntry } from "../spc/model/journal-entry.ts";
import type { CorrectSetUpAsk, SaySetUpAsk } from "./contract/set-up-wire.ts";
import { type Mistake, mistaken, Problem } from "./problem.ts";
import { instant } from "./read-model/wire-form.ts";
import { toldTimeMistakes } from "./told-time.ts";

export interface SetUpBookParts {
  readonly site: Site;
  readonly journal: Journal;
  readonly clock: Clock;
  readonly bus: Bus;
  readonly access: { readonly record: ChangeRecord };
}

/** What people say is set up. Both return what the entry is called, and throw a Problem that says why not. */
export interface SetUpBook {
  say(ask: SaySetUpAsk, by: Actor): string;
  /** Says something else instead; what was said stays to be read. */
  correct(id: string, ask: CorrectSetUpAsk, by: Actor): string;
}

type SetUpStored = Extract<StoredEntry, { kind: "set-up" }>;

/** What stands there already is read inside the transaction that writes. */
export function setUpBook({ site, journal, clock, bus, access: { record } }: SetUpBookParts): SetUpBook {
  const write = (station: string, body: SetUp, by: Actor, old: SetUp | null): string => {
    const entry = setUpEntry(station, body);
    journal.append([entry]);
    const said = ({ words, fromMs }: SetUp): object => ({ from: instant(fromMs), words });
    record.append({
      kind: old === null ? "set-up-said" : "set-up-corrected",
      subject: old === null ? station : (body.instead ?? station),
      old: old === null ? null : said(old),
      new: said(body),
      reason: old === null ? body.note : body.reason,
      by,
    });
    return setUpId(entry.id);
  };
  const announced = (work: () => string): string => {
    const id = journal.transaction(work);
    bus.announce("journal");
    return id;
  };

  return {
    say: ({ station, words, from, note }, by) => {
      const saidMs = clock.nowMs();
      const mistakes = [...toldTimeMistakes("body/from", from, saidMs), ...wordMistakes(site, station, words)];
      if (mistakes.length > 0) throw mistaken(mistakes);
      const body: SetUp = { words, fromMs: from, saidMs, by: by.name, note, instead: null, reason: "" };
      return announced(() => {
        const { id } = setUpEntry(station, body);
        const there = journal.find(id);
        if (there?.kind !== "set-up") return write(station, body, by, null);
        if (sameWords(there.body.words, words) && there.body.by === by.name) return setUpId(id);
        const detail = `${there.body.by} said ${wordsText(there.body.words)} from this time on: correct that entry instead`;
        throw new Problem(409, "already-written", detail);
      });
    },
    correct: (id, { words, from, reason }, by) =>
      announced(() => {
        const entry = foundSetUp(journal, id);
        const saidMs = clock.nowMs();
        const fromMs = from ?? entry.body.fromMs;
        const asked = Object.keys(words).length === 0 ? [] : wordMistakes(site, entry.station, words);
        const mistakes = [...(from === undefined ? [] : toldTimeMistakes("body/from", from, saidMs)), ...asked];
        if (mistakes.length > 0) throw mistaken(mistakes);
        const after = replacedBy(journal, entry.station).get(id);
        if (after !== undefined) {
          const same = sameWords(after.body.words, words) && after.body.fromMs === fromMs && after.body.by === by.name;
          if (same) return setUpId(after.id);
          const detail = `${after.body.by} said ${wordsText(after.body.words)} instead: correct that entry`;
          throw new Problem(409, "already-corrected", detail);
        }
        const body = { words, fromMs, saidMs, by: by.name, note: "", instead: id, reason };
        return write(entry.station, body, by, entry.body);
      }),
  };
}

export function foundSetUp(journal: Journal, id: string): SetUpStored {
  const entry = journal.find(setUpEntryId(id));
  if (entry?.kind !== "set-up") throw new Problem(404, "unknown-set-up", `nothing was said as ${id}`);
  return entry;
}

/** Of a station, by what it stands instead of. */
export function replacedBy(journal: Journal, station: string): ReadonlyMap<string, SetUpStored> {
  return new Map(
    journal
      .read({ kinds: ["set-up"], station })
      .flatMap((entry) =>
        entry.kind === "set-up" && entry.body.instead !== null ? [[entry.body.instead, entry]] : [],
      ),
  );
}

function wordMistakes(site: Site, id: string, words: SetUp["words"]): readonly Mistake[] {
  const station: Station | undefined = site.stations.find((one) => one.id === id);
  if (station === undefined || station.context.length === 0) {
    return [{ place: "body/station", found: id, expected: "a station whose kind says what can be set up (context)" }];
  }
  return Object.entries(words).flatMap(([key, word]): readonly Mistake[] => {
    const known = station.context.find((one) => one.key === key);
    const place = `body/words/${key}`;
    if (known === undefined) {
      return [{ place, found: key, expected: `one of ${station.context.map((one) => one.key).join(", ")}` }];
    }
    if (word === "" || known.choices.length === 0 || known.choices.includes(word)) return [];
    return [{ place, found: word, expected: `one of ${known.choices.join(", ")}` }];
  });
}

function sameWords(a: SetUp["words"], b: SetUp["words"]): boolean {
  const keys = Object.keys(a);
  return keys.length === Object.keys(b).length && keys.every((key) => a[key] === b[key]);
}

function wordsText(words: SetUp["words"]): string {
  const said = Object.entries(words).map(([key, word]) => `${key} ${word === "" ? "none" : word}`);
  return said.length === 0 ? "nothing" : said.join(", ");
}
