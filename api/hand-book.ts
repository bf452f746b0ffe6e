import type { Bus } from "../collector/platform/bus.ts";
import type { Clock } from "../collector/platform/clock.ts";
import type { ByHand, CharacteristicPlan, Site } from "../collector/platform/settings/site.ts";
import type { Actor, ChangeRecord } from "../collector/store/change-record.ts";
import { correctedEntry, runEntryId, writtenDownEntry, writtenDownId } from "../collector/store/entries.ts";
import type { Journal } from "../collector/store/journal.ts";
import type { Corrected, JournalEntry, WrittenDown } from "../spc/model/journal-entry.ts";
import { convert, convertDifference } from "../spc/units/ucum.ts";
import type { CorrectAsk, WriteDownAsk } from "./contract/hand-wire.ts";
import { type Mistake, mistaken, Problem } from "./problem.ts";
import { instant } from "./read-model/wire-form.ts";
import { toldTimeMistakes } from "./told-time.ts";

export interface HandBookParts {
  readonly site: Site;
  readonly journal: Journal;
  readonly clock: Clock;
  readonly bus: Bus;
  readonly access: { readonly record: ChangeRecord };
}

export interface HandBook {
  /** Throws what `write` would of an entry against the settings; writes nothing. */
  check(ask: WriteDownAsk): void;
  /** Writes all values of an entry or none, and returns what they are called. Throws a Problem that says why not. */
  write(ask: WriteDownAsk, by: Actor): readonly string[];
  /** Writes other values beside those of an entry. */
  correct(written: string, ask: CorrectAsk, by: Actor): void;
}

/** A feature that people write down, and where. */
interface HandPlan {
  readonly plan: CharacteristicPlan;
  readonly byHand: ByHand;
}

/** What people write down by hand. Whether it is there already is read inside the transaction that writes. */
export function handBook({ site, journal, clock, bus, access: { record } }: HandBookParts): HandBook {
  const written = (work: () => readonly JournalEntry[]): void => {
    if (journal.transaction(() => journal.append(work())).length > 0) bus.announce("journal");
  };
  return {
    check: (ask) => void read(site, { ...ask, by: "" }, clock.nowMs()),
    write: (ask, by) => {
      const bodies = read(site, { ...ask, by: by.name }, clock.nowMs());
      const entries = bodies.map((body) => writtenDownEntry(ask.station, body));
      written(() => {
        checkRun(journal, ask);
        const fresh = entries.filter((entry, nth) => isNew(journal, entry.id, bodies[nth]!));
        if (fresh.length > 0) {
          const values = bodies.map((body) => ({ feature: body.feature, values: body.values, unit: body.unit }));
          const taken = instant(ask.takenAt);
          record.append({
            kind: "values-written",
            subject: ask.station,
            old: null,
            new: { taken, values },
            reason: ask.note,
            by,
          });
        }
        return fresh;
      });
      return entries.map(({ id }) => id.slice(writtenDownId("").length));
    },
    correct: (id, { values, reason, sure }, by) =>
      written(() => {
        const entry = journal.find(writtenDownId(id));
        if (entry?.kind !== "written-down") throw new Problem(404, "unknown-value", `nothing was written as ${id}`);
        const { feature } = entry.body;
        const found = planOf(site, entry.station, feature);
        const place = "body/values";
        if (values.length !== entry.body.values.length) {
          const expected = `${entry.body.values.length} numbers, as were written`;
          throw mistaken([{ place, found: `${values.length}`, expected }]);
        }
        if (!sure && found !== undefined) askAbout(doubts(values, found.byHand, place));
        const former = newest(journal, id, entry.body);
        if (sameValues(former, values)) return [];
        const atMs = clock.nowMs();
        record.append({ kind: "values-corrected", subject: id, old: { values: former }, new: { values }, reason, by });
        return [correctedEntry(entry.station, { written: id, values, by: by.name, atMs, reason })];
      }),
  };
}

/** Corrections of what was written, oldest first. */
export function correctionsOf(journal: Journal, written: string): readonly Corrected[] {
  return journal
    .read({ kinds: ["corrected"], subject: written })
    .flatMap((entry) => (entry.kind === "corrected" ? [entry.body] : []));
}

/** The features of a station that people write down. */
export function handPlans(site: Site, station: string): readonly HandPlan[] {
  const plans = site.stations.find(({ id }) => id === station)?.plans ?? [];
  return plans.flatMap((plan) => (plan.byHand === null ? [] : [{ plan, byHand: plan.byHand }]));
}

function planOf(site: Site, station: string, feature: string): HandPlan | undefined {
  return handPlans(site, station).find(({ plan }) => plan.feature === feature);
}

/** Reads the whole of an entry against the settings: all mistakes at once, then all doubts at once. */
function read(site: Site, ask: WriteDownAsk & { readonly by: string }, nowMs: number): readonly WrittenDown[] {
  const mistakes: Mistake[] = [];
  const doubtful: Mistake[] = [];
  const wrong = (place: string, found: string, expected: string): void => {
    mistakes.push({ place: `body/${place}`, found, expected });
  };
  const plans = handPlans(site, ask.station);
  if (plans.length === 0) {
    wrong("station", ask.station, "a station where values are written down by hand");
    throw mistaken(mistakes);
  }
  mistakes.push(...toldTimeMistakes("body/takenAt", ask.takenAt, nowMs));
  const bodies = ask.values.flatMap(({ feature, unit, values }, nth): readonly WrittenDown[] => {
    const place = `values/${nth}`;
    const found = plans.find(({ plan }) => plan.feature === feature);
    if (found === undefined) {
      wrong(`${place}/feature`, feature, `one of ${plans.map(({ plan }) => plan.feature).join(", ")}`);
      return [];
    }
    const { plan, byHand } = found;
    if (ask.values.findIndex((other) => other.feature === feature) < nth) {
      wrong(`${place}/feature`, `${feature} again`, "each feature once");
    }
    if (plan.by.includes("part") && ask.context["part"] === undefined) {
      wrong("context/part", "nothing", `the part that was measured: ${feature} is charted by part`);
    }
    if (values.length > byHand.values) wrong(`${place}/values`, `${values.length} numbers`, `at most ${byHand.values}`);
    const converted = values.map((value) => inUnit(value, unit, found));
    if (converted.includes(undefined)) wrong(`${place}/unit`, unit, `${byHand.unit}, or a unit that converts to it`);
    const numbers = converted.flatMap((value) => value ?? []);
    doubtful.push(...doubts(numbers, byHand, `body/${place}/values`));
    const { context, note, by } = ask;
    const times = { takenMs: ask.takenAt, writtenMs: nowMs };
    return [{ feature, unit: byHand.unit, values: numbers, ...times, by, context, ofRun: ask.ofRun ?? null, note }];
  });
  if (mistakes.length > 0) throw mistaken(mistakes);
  if (!ask.sure) askAbout(doubtful);
  return bodies;
}

function inUnit(value: number, unit: string, { plan, byHand }: HandPlan): number | undefined {
  if (unit === byHand.unit) return value;
  // A difference of temperatures has no offset: 3 K is 3 K.
  const { reference } = plan.characteristic(null);
  return (reference === "difference" ? convertDifference : convert)(value, unit, byHand.unit);
}

function doubts(values: readonly number[], { plausible, unit }: ByHand, place: string): readonly Mistake[] {
  if (plausible === null) return [];
  const { lower, upper } = plausible;
  const expected = `${lower} to ${upper} ${unit}, or sure: true if it is so`;
  return values
    .filter((value) => value < lower || value > upper)
    .map((value) => ({ place, found: `${value} ${unit}`, expected }));
}

/** Asked, not forced: with `sure` the same values are taken. */
function askAbout(doubtful: readonly Mistake[]): void {
  if (doubtful.length === 0) return;
  const detail = doubtful.map(({ found, expected }) => `${found}: expected ${expected}`).join("; ");
  throw new Problem(409, "implausible", detail, { errors: doubtful });
}

function checkRun(journal: Journal, { ofRun, station }: WriteDownAsk): void {
  if (ofRun === undefined) return;
  const entry = journal.find(runEntryId(ofRun));
  if (entry?.kind === "run" && entry.station === station) return;
  throw mistaken([{ place: "body/ofRun", found: ofRun, expected: `a run of ${station}` }]);
}

/** False when the same was written before, as by a second press; other values for the same time are a correction. */
function isNew(journal: Journal, id: string, body: WrittenDown): boolean {
  const there = journal.find(id);
  if (there?.kind !== "written-down") return true;
  if (sameValues(there.body.values, body.values) && there.body.by === body.by) return false;
  const detail = `${there.body.by} wrote ${there.body.values.join(", ")} ${there.body.unit} for this time: correct that entry instead`;
  throw new Problem(409, "already-written", detail);
}

function newest(journal: Journal, written: string, body: WrittenDown): readonly number[] {
  return correctionsOf(journal, written).at(-1)?.values ?? body.values;
}

function sameValues(a: readonly number[], b: readonly number[]): boolean {
  return a.length === b.length && a.every((value, nth) => value === b[nth]);
}
