import { expect, test } from "vitest";
import { plant } from "../../../simulator/plant.ts";
import type { Source } from "../../../simulator/plant-layout.ts";
import { besideTruth } from "./against-truth.ts";
import { statedError } from "./stated-errors.ts";

// What the product's decoder, segmenters and features make of the plant's payloads, beside what truly was: borders are
// those of events and exact, each feature lies within its stated error.

const key = { seed: 31, firstMs: Date.UTC(2026, 10, 24, 5) };
/** A share of `npm run -s soak -- truth`, which has every station. */
const cases: readonly [Source, readonly string[], number][] = [
  ["GW-PR", ["PR-01", "PR-02"], 0.7],
  ["GW-PX", ["PX-1", "PX-2"], 4],
  ["GW-GL", ["GL-1", "GL-2", "GL-3", "CL-1", "CW-1"], 1],
  ["GW-SL", ["RD-1", "SL-A", "SL-F"], 2.2],
  ["GW-DR", ["DR-1", "DR-2", "DR-3"], 14],
  ["GW-CT", ["CT-A1", "CT-F1"], 0.7],
  ["GW-FU", ["FU-A1", "FU-F1", "FU-F2"], 3],
  ["GW-PO", ["PO-A", "PO-F", "PO-F.ladle"], 3],
  ["GW-SK", ["CO-A", "SC-1", "SK-A", "SK-F"], 3],
  ["GW-ST", ["HD-1", "WX-1"], 2.2],
  ["GW-AO", ["AO-1"], 9],
];

test.each(cases)("runs of %s lie where they truly were, and give what truly was", (source, stations, hours) => {
  for (const beside of besideTruth(plant(key, []), source, stations, hours)) {
    const { station, trueRuns, missed, invented, startOffMs, endOffMs, errors } = beside;
    expect(trueRuns, station).toBeGreaterThan(0);
    expect({ station, missed, invented, startOffMs, endOffMs }).toEqual({
      ...{ station, missed: [], invented: [], startOffMs: 0, endOffMs: 0 },
    });
    for (const [feature, { off }] of errors) {
      const worst = Math.max(0, ...off.map(Math.abs));
      expect(worst, `${station} ${feature}`).toBeLessThanOrEqual(statedError(feature));
    }
  }
});
