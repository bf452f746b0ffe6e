import { expect, test } from "vitest";
import { faultKinds, traceOnlyFaults } from "../../../simulator/faults.ts";
import type { PlantKey } from "../../../simulator/plant-layout.ts";
import { recordedRuns } from "../../../simulator/recorded-runs.ts";

// Months are made by the run model: a fault that it left out in silence would be one that nobody could have found.

const key: PlantKey = { seed: 9, firstMs: Date.UTC(2026, 10, 24, 5, 0, 0) };
const hour = 3_600_000;

/** Where each kind may be, and the stations whose features it ought to move. */
const places: readonly (readonly [place: string, stations: readonly string[]])[] = [
  ["PR-01", ["PR-01"]],
  ["BO-1", ["PR-01", "HD-1"]],
  ["AO-1", ["AO-1"]],
  ["DR-1", ["DR-1"]],
  ["CT-A1", ["CT-A1"]],
  ["PX-1", ["PX-1"]],
  ["SI-01", ["SI-01"]],
  ["AG-1", ["AG-1"]],
  ["GL-1", ["GL-1"]],
  ["SL-A", ["SL-A"]],
  ["RD-1", ["RD-1", "CW-1"]],
  ["FU-A1", ["FU-A1"]],
  ["PO-F", ["PO-F"]],
  ["PO-A", ["PO-A"]],
  ["CO-A", ["CO-A", "SK-A"]],
  ["SC-1", ["SC-1", "CT-A1"]],
  ["WX-1", ["WX-1"]],
  ["IN-1", ["IN-1"]],
  ["AO-1/t2", ["AO-1"]],
  ["GW-PR", ["PR-01"]],
];

function values(station: string, faults: Parameters<typeof recordedRuns>[5]): string {
  // Fills of silos and racks of rooms last for days.
  const [fromMs, toMs] = [key.firstMs, key.firstMs + (/^SI|^AG/.test(station) ? 60 : 30) * hour];
  return JSON.stringify(recordedRuns(key, station, fromMs, toMs, 1, faults).map(({ features }) => features));
}

test.each(faultKinds.map(({ name, at }) => ({ name, at })))(
  "$name moves a feature of the run model, or is said to be of traces alone",
  ({ name, at }) => {
    const place = places.find(([one]) => at.test(one));
    expect(place, "a place for it").toBeDefined();
    const [station, stations] = place as (typeof places)[number];
    const fault = { name, station, fromMs: key.firstMs + hour, toMs: key.firstMs + 59 * hour };
    const moved = stations.some((one) => values(one, [fault]) !== values(one, []));
    expect(moved).toBe(!traceOnlyFaults.has(name));
  },
);
