import { expect, test } from "vitest";
import type { JournalEntry, RunRecord } from "../../../spc/model/journal-entry.ts";
import { demoSite } from "../../demo-site.ts";
import { type Compared, faultRows } from "../../score/compare/fault-rows.ts";
import { sizedFaults } from "../../score/plan/sized-faults.ts";
import { lawKey } from "../../score/watch/fault-free.ts";

const site = demoSite();
const station = site.stations.find(({ id }) => id === "CT-F2")!;
const id = "CT-F2:vib.hf";
const hourMs = 3_600_000;
const startMs = Date.UTC(2026, 10, 24, 5);
const atMs = (place: number): number => startMs + place * (hourMs / 2);

/** Sixteen flasks, half an hour apart, whose high band is up by so much from the seventh on. */
function flasks(byG: number): RunRecord[] {
  return Array.from({ length: 16 }, (_, place) => ({
    run: {
      ...{ id: `CT-F2:${place}`, station: "CT-F2", startMs: atMs(place) - 60_000, endMs: atMs(place) },
      ...{ closedBy: "end-condition" as const, segments: [], context: { part: "OFW-3304" } },
    },
    imported: false,
    features: [{ feature: "vib.hf", unit: "[g]", value: 0.0444 + (place >= 6 ? byG : 0), version: 3 }],
  }));
}

/** Points of groups of four that begin with this flask. */
function groups(first: number): JournalEntry[] {
  return [0, 1, 2].map((group) => {
    const members = [0, 1, 2, 3].map((i) => ({ run: `CT-F2:${first + 4 * group + i}`, value: 0.0444 }));
    const place = first + 4 * group + 3;
    const chart = { value: 0.0444, verdict: "in", lower: null, upper: null };
    const body = { characteristic: id, run: `CT-F2:${place}`, subgroup: group, atMs: atMs(place), members };
    return {
      kind: "point",
      id: `p/${place}`,
      body: { ...body, location: chart, spread: chart },
    } as unknown as JournalEntry;
  });
}

function signalAt(place: number): JournalEntry {
  const signal = { characteristic: id, station: "CT-F2", run: `CT-F2:${place}`, on: "location", side: "above" };
  const more = { rule: "beyond-limit", label: "for-review", flag: "f", atMs: atMs(place) };
  return { kind: "signal", id: `s/${place}`, body: { signal: { ...signal, ...more } } } as unknown as JournalEntry;
}

/** A bearing that wears from just before the seventh flask on, found at this one. */
function outcome(twinFirst: number, ownFirst: number, foundAt: number) {
  const sized = sizedFaults.find(({ name }) => name === "bearing")!;
  const fault = { name: "bearing", station: "CT-F2", fromMs: atMs(5) + 60_000, toMs: atMs(15), size: 0.06 };
  const law = { sd: 0.0004, acf: [0, 0] };
  const set = { location: { centre: 0.0444 }, baseline: { n: 68 } };
  const all = {
    ...{ site, twin: groups(twinFirst), faulty: [...groups(ownFirst), signalAt(foundAt)], endMs: atMs(16) },
    ...{ trueFaulty: flasks(0.01), trueTwin: flasks(0), means: new Map() },
    ...{ sets: new Map([[id, set]]), laws: new Map([[lawKey(station, "vib.hf", null), law]]) },
  } as unknown as Compared;
  const injected = { fault, fromMs: fault.fromMs, toMs: fault.toMs, times: 2, sized };
  const [row] = faultRows(1, [injected], all);
  return `${row?.outcome} ${((row?.dueHours ?? 0) * hourMs + fault.fromMs - startMs) / (hourMs / 2)}`;
}

test("a chart of groups is due with the first group that holds the fault, as its own groups lie", () => {
  // The twin's groups end with flasks 3, 7 and 11, those of the plant with faults with 5, 9 and 13.
  expect(outcome(0, 0, 7)).toBe("found 7");
  expect(outcome(0, 2, 9)).toBe("found 9");
  expect(outcome(0, 2, 13)).toBe("late 9");
  expect(outcome(0, 0, 11)).toBe("late 7");
});

test("groups that never come are no excuse: it is due with the twin's next one at the latest", () => {
  expect(outcome(0, 12, 15)).toBe("late 11");
});
