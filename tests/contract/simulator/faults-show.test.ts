import { expect, test } from "vitest";
import { firstDayFaults } from "../../../simulator/demo-faults.ts";
import { readFault } from "../../../simulator/fault-words.ts";
import type { Fault } from "../../../simulator/faults.ts";
import { plant } from "../../../simulator/plant.ts";
import type { Source } from "../../../simulator/plant-layout.ts";
import { recordedRuns } from "../../../simulator/recorded-runs.ts";
import { moments } from "../../../spc/stats/moments.ts";
import { extractRuns } from "./extract-runs.ts";

// A fault that no feature shows would be no use to anyone. Sizes asked for are those of our own simulation study.

const key = { seed: 7, firstMs: Date.UTC(2026, 10, 24, 5, 0, 0) };
const hour = 3_600_000;

interface Case {
  readonly fault: string;
  readonly source: Source;
  readonly station: string;
  readonly hours: number;
  readonly feature: string;
  /** Healthy sd that the faulty runs stand off, with the sign of the side. */
  readonly by: number;
}

const cases: readonly Case[] = [
  {
    fault: "boiler-sag@BO-1@30min+40min",
    source: "GW-PR",
    station: "PR-02",
    hours: 2,
    feature: "mold.plateau",
    by: -2,
  },
  { fault: "slow-valve@PR-03@30min+40min", source: "GW-PR", station: "PR-03", hours: 2, feature: "mold.rise", by: 10 },
  { fault: "weak-air@DR-2@30min+6h50min", source: "GW-DR", station: "DR-2", hours: 8, feature: "dry.dw_end", by: 5 },
  { fault: "door-open@DR-1@5h+15min", source: "GW-DR", station: "DR-1", hours: 11, feature: "dry.rh_peak", by: 9 },
  { fault: "runaway@AO-1@3h+8min", source: "GW-AO", station: "AO-1", hours: 7, feature: "oven.max", by: 5 },
  { fault: "door-open@AO-1@3h+30min", source: "GW-AO", station: "AO-1", hours: 7, feature: "oven.mean", by: -0.5 },
  { fault: "motor-out@CT-A1@20min+1h", source: "GW-CT", station: "CT-A1", hours: 1.5, feature: "vib.rms", by: -30 },
  {
    fault: "loose-clamp@CT-F2@20min+1h10min",
    source: "GW-CT",
    station: "CT-F2",
    hours: 2,
    feature: "vib.crest",
    by: 50,
  },
  { fault: "loose-clamp@CT-A2@20min+1h", source: "GW-CT", station: "CT-A2", hours: 1.5, feature: "vib.hf", by: 100 },
  { fault: "cold-metal@PO-A@20min+25min", source: "GW-PO", station: "PO-A", hours: 1, feature: "pour.T1", by: -6 },
];

function faultOf(words: string): Fault {
  const read = readFault(words, key.firstMs);
  if (!read.ok) throw new Error(read.mistake);
  return read.fault;
}

test.each(cases)("$fault moves $feature at $station", ({ fault, source, station, hours, feature, by }) => {
  const { fromMs, toMs } = faultOf(fault);
  const window = [source, [station], key.firstMs, key.firstMs + hours * hour] as const;
  const healthy = new Map(extractRuns(plant(key, []), ...window).map((r) => [r.run.id, r]));
  const faulty = extractRuns(plant(key, [faultOf(fault)]), ...window);
  const values = recordedRuns(key, station, key.firstMs - 40 * 24 * hour, key.firstMs).map(
    (run) => run.features.find((f) => f.feature === feature)?.value as number,
  );
  // First metal is charted by part: its sd within a part is that of the pours' deviations.
  const sd = feature === "pour.T1" ? 3.8 : moments(values).sd;
  const offs = faulty
    .filter(({ run }) => run.startMs < toMs && run.endMs > fromMs)
    .map(
      ({ run, features }) => ((features[feature] as number) - (healthy.get(run.id)?.features[feature] as number)) / sd,
    );
  expect(offs.length).toBeGreaterThan(0);
  const largest = by > 0 ? Math.max(...offs) : Math.min(...offs);
  expect(largest / by).toBeGreaterThan(1);
});

test("a stuck transmitter gives no features, and the press's steps all the same", () => {
  const { fromMs } = faultOf("stuck-pressure@PR-01@30min");
  const stuck = plant(key, [faultOf("stuck-pressure@PR-01@30min")]);
  const runs = extractRuns(stuck, "GW-PR", ["PR-01"], key.firstMs, key.firstMs + hour);
  const after = runs.filter(({ run }) => run.startMs >= fromMs);
  expect(after.length).toBeGreaterThan(2);
  for (const { features } of after) expect(features["mold.rise"]).toBeNaN();
});

test("the demo's wet load is one whole load of DR-2, and ends in the first half of the day", () => {
  const weak = firstDayFaults.find((words) => words.startsWith("weak-air")) as string;
  const { fromMs, toMs } = faultOf(weak);
  const loads = recordedRuns(key, "DR-2", key.firstMs, key.firstMs + 24 * hour);
  const touched = loads.filter((load) => load.startMs < toMs && load.endMs > fromMs);
  expect(touched).toHaveLength(1);
  const [load] = touched as [(typeof loads)[number]];
  expect(load.startMs).toBeGreaterThan(fromMs);
  expect(load.endMs).toBeLessThan(Math.min(toMs, key.firstMs + 12 * hour));
});
