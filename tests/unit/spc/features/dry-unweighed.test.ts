import { expect, test } from "vitest";
import { dryUnweighed } from "../../../../spc/features/dry-unweighed.ts";
import { dryerRun } from "../../../property/spc/features/plant-models.ts";
import { altered, codeOf, numberOf } from "./traces.ts";

const feature = dryUnweighed({});
const seeds = [1, 2, 3, 4, 5, 6];

test("a load that dries, one that is still wet and one in weak air lose into the air what it gains", () => {
  for (const load of [{}, { hours: 4 }, { air: 0.3, rate: 0.7 }, { waterKg: 46, dryKg: 115 }]) {
    for (const seed of seeds) {
      const { trace, truth } = dryerRun(seed, load);
      expect(Math.abs(numberOf(feature.extract(trace)))).toBeLessThan(0.25);
      // The gain by itself tells these loads apart by far more.
      if (load.hours === 4) expect(truth["dry.dw_end"]).toBeGreaterThan(0.5);
    }
  }
});

test("a return probe that reads 1 percent too high shows its 0.77 g/kg, wet or dry", () => {
  for (const load of [{}, { hours: 4 }]) {
    const { trace } = dryerRun(7, load);
    const splashed = altered(trace, "return-rh", (one) => ({ ...one, value: one.value! + 1 }));
    const moved = numberOf(feature.extract(splashed)) - numberOf(feature.extract(trace));
    expect(Math.abs(moved - 0.77)).toBeLessThan(0.05);
  }
});

test("it is refused without air, and without the witness", () => {
  const { trace } = dryerRun(1);
  const still = altered(trace, "airflow", (one, tS) => ({ ...one, value: tS % 20 < 10 ? 0.001 : -0.001 }));
  expect(codeOf(feature.extract(still))).toMatch(/not-positive|^gave/);
  const none = altered(trace, "airflow", (one, tS) => ({ ...one, value: tS % 20 < 10 ? -0.001 : -0.002 }));
  expect(codeOf(feature.extract(none))).toBe("not-positive");
  expect(codeOf(feature.extract(altered(trace, "witness", () => null)))).toMatch(/coverage-too-low|no-reading/);
});
