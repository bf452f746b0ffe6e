import { expect, test } from "vitest";
import { belowLeast, type LeastPlan } from "../../../../spc/health/below-least.ts";
import { instrumentWatch } from "../../../../spc/health/instrument.ts";
import type { InstrumentPlan } from "../../../../spc/health/instrument-plan.ts";
import type { Run } from "../../../../spc/model/run.ts";
import { readingsOf, same } from "./readings.ts";

const plan: LeastPlan = { within: 0.4, noise: 0.016, where: "at the end of the load", unit: "kg" };

test("a witness lighter than its dry coat hangs on something", () => {
  expect(belowLeast(readingsOf(same(92.3, 10), 60_000), 95, plan)).toEqual({
    check: "below-least",
    verdict: "fault",
    says: "read 92.3 kg at the end of the load over 10 readings, where it must read 95 kg at least: off by -2.7 kg, 0.4 kg is allowed",
  });
});

test("a dry one and a wet one are well, and so is one that both scales' errors explain", () => {
  for (const kg of [94.58, 95, 95.2, 120]) {
    expect(belowLeast(readingsOf(same(kg, 10), 60_000), 95, plan)?.verdict).toBe("well");
  }
  expect(belowLeast(readingsOf(same(94.5, 10), 60_000), 95, plan)?.verdict).toBe("fault");
});

test("few readings say nothing", () => {
  expect(belowLeast(readingsOf(same(90, 4), 60_000), 95, plan)).toBeNull();
});

const nothing = { stuck: null, clipped: null, repeated: null, spikes: null, zero: null, peers: null, slow: null };
const instrument: InstrumentPlan = {
  ...nothing,
  ...{ wiring: "other", unit: "kg", everyMs: 60_000, ambientCel: null },
  least: { ...plan, role: "dry-coat", lastMs: 600_000 },
};
const load: Run = {
  ...{ id: "DR-1:x", station: "DR-1", startMs: 0, endMs: 1_800_000, closedBy: "end-condition" },
  ...{ segments: [], context: {} },
};

/** A load whose witness dries from 133 kg to this. */
function looked(endKg: number, run: Run, dryCoat: readonly number[]) {
  const witness = Array.from({ length: 30 }, (_, i) => ({
    ...{ series: "DR-1/witness", quality: "good" as const },
    ...{ tMs: i * 60_000, value: endKg + Math.max(0, 38 - 2 * i) },
  }));
  const told = dryCoat.map((value) => ({ series: "DR-1/dry-coat", tMs: 1_000, value, quality: "good" as const }));
  const watch = instrumentWatch("witness", instrument);
  expect(watch.roles).toEqual(["dry-coat"]);
  const trace = { run, samples: { witness, "dry-coat": told }, everyMs: { witness: 60_000 }, ambientPressureHpa: 976 };
  return watch.run(watch.readings.initial, trace).out;
}

test("it is asked of the end of a load that was seen, beside what its dry coat weighed", () => {
  expect(looked(92, load, [95])).toMatchObject([{ kind: "began", check: "below-least", verdict: "fault" }]);
  expect(looked(95.2, load, [95])).toEqual([]);
  expect(looked(92, load, [])).toEqual([]);
  expect(looked(92, { ...load, closedBy: "gap" }, [95])).toEqual([]);
});
