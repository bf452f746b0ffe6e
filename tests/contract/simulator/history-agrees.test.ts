import { expect, test } from "vitest";
import { writtenFeatures } from "../../../simulator/history.ts";
import { plant } from "../../../simulator/plant.ts";
import { dryers, oven, pourStation, presses, type Source, tables } from "../../../simulator/plant-layout.ts";
import { recordedRuns } from "../../../simulator/recorded-runs.ts";
import { autocorrelation } from "../../../spc/stats/autocorrelation.ts";
import { moments } from "../../../spc/stats/moments.ts";
import { type ExtractedRun, extractRuns } from "./extract-runs.ts";

// The demo's limits come from what the simulated site wrote down, its live points from what the product makes of the
// readings. If the two did not agree, a healthy plant would stand outside its limits: so they are held together here,
// run by run, through the product's own decoder, segmenters and features.

const key = { seed: 20, firstMs: Date.UTC(2026, 10, 24, 5, 0, 0) };
const day = 86_400_000;
/** Days of readings: quick on a machine of its own, slow on one that is shared. */
const patient = 300_000;

interface Pair {
  readonly ours: number[];
  readonly written: number[];
}

const cases: readonly [Source, readonly string[], number][] = [
  ["GW-PR", presses, 0.6],
  ["GW-AO", [oven], 8],
  ["GW-DR", dryers, 12],
  ["GW-CT", tables, 0.3],
  ["GW-PO", [pourStation], 3],
];

test.each(cases)(
  "what %s sends gives the features that the site wrote down",
  (source, stations, days) => {
    const toMs = key.firstMs + days * day;
    const runs = extractRuns(plant(key, []), source, stations, key.firstMs, toMs);
    const written = stations.flatMap((station) => writtenFeatures(station));
    const refused = runs.flatMap((r) => r.refusals);
    expect(refused.filter((one) => written.some((feature) => one.includes(` ${feature}:`)))).toEqual([]);
    expect(new Set(runs.map((r) => r.run.closedBy))).toEqual(new Set(["end-condition"]));

    const pairs = paired(runs, stations, toMs);
    expect([...pairs.keys()].map((k) => k.split("/")[0])).toEqual(expect.arrayContaining(written));
    for (const [feature, { ours, written }] of pairs) {
      expect(ours.length, feature).toBeGreaterThan(25);
      const [here, there] = [moments(ours), moments(written)];
      expect(Math.abs(here.mean - there.mean) / here.sd, `${feature}: means apart, in sd`).toBeLessThan(0.25);
      expect(there.sd / here.sd, `${feature}: sd written over sd measured`).toBeGreaterThan(0.8);
      expect(there.sd / here.sd, `${feature}: sd written over sd measured`).toBeLessThan(1.25);
      // A healthy feature remembers its predecessor a little, never so much that its chart would be meaningless.
      expect(autocorrelation(ours, 1), `${feature}: lag-1`).toBeLessThan(0.6);
    }
  },
  patient,
);

/** Measured and written values of the same runs, by feature, and by part where the charts are. */
function paired(runs: readonly ExtractedRun[], stations: readonly string[], toMs: number): Map<string, Pair> {
  const measured = new Map(runs.map((r) => [r.run.id, r]));
  const pairs = new Map<string, Pair>();
  const written = stations.flatMap((s) => recordedRuns(key, s, key.firstMs, toMs));
  expect(written.length).toBe(runs.length);
  for (const record of written) {
    const run = measured.get(record.id) as ExtractedRun;
    expect(run.run.endMs).toBe(record.endMs);
    expect(run.run.context["part"] ?? null).toBe(record.part);
    for (const { feature, value } of record.features) {
      if (run.features[feature] === undefined || !writtenFeatures(record.station).includes(feature)) continue;
      const name = record.station === pourStation ? `${feature}/${record.part}` : feature;
      const pair = pairs.get(name) ?? { ours: [], written: [] };
      pair.ours.push(run.features[feature] as number);
      pair.written.push(value);
      pairs.set(name, pair);
    }
  }
  return pairs;
}
