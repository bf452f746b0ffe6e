import { expect, test } from "vitest";
import { handValues } from "../../../collector/pipeline/hand-values.ts";
import { loadSettings } from "../../../collector/platform/settings/load.ts";
import type { Site } from "../../../collector/platform/settings/site.ts";
import { limitsEntry, writtenDownEntry } from "../../../collector/store/entries.ts";
import type { Journal } from "../../../collector/store/journal.ts";
import type { SignalRecord, StoredEntry, WrittenDown } from "../../../spc/model/journal-entry.ts";
import { memoryJournal } from "../../fakes/memory-journal.ts";
import { pressLimits } from "../../press-limits.ts";
import { siteText } from "../platform/settings/site-text.ts";

const density = `
      - feature: bead.density
        name: bulk density
        quantity: steam-pressure
        digits: 1
        every: 1 h
        byPart: true
        byHand: { unit: g/L, plausible: { lower: 15, upper: 35 } }
        specification: { lower: 21.4, upper: 22.6, unit: g/L, origin: control plan }
`;

const site: Site = (() => {
  const loaded = loadSettings(Buffer.from(siteText + density.slice(1)));
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.mistakes));
  return loaded.site;
})();

const hour = 3_600_000;
const begin = Date.parse("2026-11-25T06:00:00Z");
const characteristic = "PR-01:bead.density:OFW-2107";

function written(nth: number, values: readonly number[], part = "OFW-2107"): WrittenDown {
  const takenMs = begin + nth * hour;
  const rest = { feature: "bead.density", unit: "g/L", ofRun: null, note: "" };
  return { ...rest, values, takenMs, writtenMs: takenMs + 60_000, by: "Early lead", context: { part } };
}
const entry = (nth: number, values: readonly number[], part?: string) =>
  writtenDownEntry("PR-01", written(nth, values, part));
const limits = (revision = 1) =>
  limitsEntry(
    "PR-01",
    pressLimits(characteristic, {
      ...{ revision, unit: "g/L", effectiveFromMs: begin },
      location: { centre: 22, lower: 21.4, upper: 22.6, sigma: 0.2 },
      spread: { centre: 0.226, lower: 0, upper: 0.737, sigma: 0.17 },
    }),
  );
const refuse = (id: string, why: string): never => {
  throw new Error(`${id}: ${why}`);
};
const bodies = (journal: Journal, kind: StoredEntry["kind"]): readonly unknown[] =>
  journal.read({ kinds: [kind] }).map(({ body }) => body);

test("each value is a run and a point; one beyond the limits that were agreed before its part ran signals", () => {
  const journal = memoryJournal();
  const hands = handValues(site, journal, refuse);
  journal.append([limits(), entry(0, [22.1]), entry(1, [23.4])]);
  const fresh = hands.advance(begin + hour);
  expect(bodies(journal, "run")).toMatchObject([
    { run: { id: "PR-01.bead.density:20261125T060000000Z", closedBy: "by-hand" }, imported: false },
    { features: [{ feature: "bead.density", version: 0, unit: "g/L", value: 23.4 }] },
  ]);
  expect(bodies(journal, "point")).toMatchObject([
    { characteristic, limitSet: `${characteristic}@1`, location: { value: 22.1, verdict: "within" } },
    { location: { value: 23.4, verdict: "above" } },
  ]);
  const signals = bodies(journal, "signal") as readonly SignalRecord[];
  expect(signals.map(({ signal: { rule, on } }) => `${rule} on ${on}`)).toEqual([
    "outside-specification on specification",
    "beyond-limit on location",
    "beyond-limit on spread",
  ]);
  expect(new Set(signals.map(({ signal }) => signal.flag))).toEqual(new Set([`${characteristic}:20261125T070000000Z`]));
  expect(signals.every(({ late }) => !late)).toBe(true);
  expect(fresh).toHaveLength(7);
});

test("several pieces of one entry are so many runs, in the order of writing", () => {
  const journal = memoryJournal();
  journal.append([entry(0, [22.1, 22, 21.9])]);
  handValues(site, journal, refuse).advance(begin);
  expect(bodies(journal, "point")).toMatchObject(
    [22.1, 22, 21.9].map((value, nth) => ({ location: { value }, atMs: begin + nth })),
  );
});

test("a value older than the newest of its chart is kept as a run and enters no chart; another part's goes on", () => {
  const journal = memoryJournal();
  const hands = handValues(site, journal, refuse);
  journal.append([entry(5, [22])]);
  hands.advance(begin);
  journal.append([entry(2, [30]), entry(3, [23], "OFW-2115")]);
  hands.advance(begin);
  expect(bodies(journal, "run")).toHaveLength(3);
  expect(bodies(journal, "point")).toMatchObject([
    { location: { value: 22 } },
    { characteristic: "PR-01:bead.density:OFW-2115", location: { value: 23 } },
  ]);
});

test("a restart at any place finds what one pass finds, and a second pass over the same journal nothing", () => {
  const story = [
    entry(0, [22]),
    limits(),
    entry(1, [23.5]),
    entry(2, [22.1]),
    limits(2),
    entry(3, [21]),
    entry(4, [22]),
  ];
  const once = memoryJournal();
  const all = handValues(site, once, refuse);
  for (const one of story) {
    once.append([one]);
    all.advance(begin);
  }
  const again = memoryJournal();
  for (const one of story) {
    again.append([one]);
    handValues(site, again, refuse).advance(begin);
  }
  for (const kind of ["run", "point", "signal"] as const) expect(bodies(again, kind)).toEqual(bodies(once, kind));
  expect(bodies(once, "signal").length).toBeGreaterThan(1);
  expect(handValues(site, again, refuse).advance(begin)).toEqual([]);
});

test("a closed flag lets the next signal open another one", () => {
  const journal = memoryJournal();
  const hands = handValues(site, journal, refuse);
  journal.append([limits(), entry(0, [23.5])]);
  hands.advance(begin);
  const flag = `${characteristic}:20261125T060000000Z`;
  const body = { flag, by: "Early lead", atMs: begin, cause: "other beads", note: "" };
  journal.append([{ kind: "done", id: `${flag}/done`, station: "PR-01", subject: flag, atMs: begin, body }]);
  journal.append([entry(1, [23.5])]);
  hands.advance(begin);
  const flags = bodies(journal, "signal").map((one) => (one as { signal: { flag: string } }).signal.flag);
  expect(new Set(flags)).toEqual(new Set([flag, `${characteristic}:20261125T070000000Z`]));
});

test("limits that no longer fit the settings are said and stop nothing", () => {
  const journal = memoryJournal();
  const said: string[] = [];
  const hands = handValues(site, journal, (id) => said.push(id));
  const set = pressLimits(characteristic, { charts: ["ewma", "moving-range"], effectiveFromMs: begin });
  journal.append([limitsEntry("PR-01", set), entry(0, [22])]);
  hands.advance(begin);
  expect(said).toEqual([`limits/${characteristic}@1`]);
  expect(bodies(journal, "point")).toMatchObject([{ limitSet: null, location: { verdict: "not-evaluable" } }]);
});

test("a feature that the settings lack leaves what was written where it is", () => {
  const journal = memoryJournal();
  journal.append([writtenDownEntry("PR-01", { ...written(0, [5]), feature: "bead.moisture" })]);
  expect(handValues(site, journal, refuse).advance(begin)).toEqual([]);
});
