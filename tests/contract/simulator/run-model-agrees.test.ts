import { expect, test } from "vitest";
import type { Source } from "../../../simulator/plant-layout.ts";
import { compareDepths } from "./agreement.ts";

// The demo's limits, and whatever is reckoned of months, come from the run model; live points from what the product makes
// of readings. If the two did not agree, a healthy plant would stand outside its limits: so they are held together here,
// run by run and feature by feature, through the product's own decoder, segmenters and features. `npm run -s soak -- depths`
// does the same over two days of the plant.

const key = { seed: 20, firstMs: Date.UTC(2026, 10, 24, 5, 0, 0) };
const hour = 3_600_000;
/** Hours of readings: quick on a machine of its own, slow on one that is shared. */
const patient = 300_000;

const cases: readonly [Source, hours: number, features: number][] = [
  ["GW-PR", 1.5, 15],
  ["GW-AO", 26, 9],
  ["GW-DR", 34, 9],
  ["GW-CT", 2.5, 12],
  ["GW-PO", 14, 14],
  ["GW-PX", 50, 13],
  ["GW-GL", 2.5, 6],
  ["GW-SL", 9, 7],
  ["GW-FU", 14, 4],
  ["GW-SK", 9, 13],
  ["GW-ST", 12, 5],
];

test.each(cases)(
  "what %s sends in %s h gives the features of the run model, within its stated error",
  (source, hours, features) => {
    const { runs, unknown, agreements } = compareDepths(key, source, key.firstMs, key.firstMs + hours * hour);
    expect(runs).toBeGreaterThan(2);
    expect(unknown).toEqual([]);
    expect(agreements.length).toBe(features);
    expect(agreements.filter(({ wrong }) => wrong.length > 0)).toEqual([]);
  },
  patient,
);
