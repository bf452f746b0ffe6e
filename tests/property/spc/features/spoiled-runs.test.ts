import { expect, test } from "vitest";
import { featureCatalogue } from "../../../../spc/features/catalogue.ts";
import { healthyErrors, spoilCheck } from "./spoil-check.ts";

// A share of what `npm run -s soak -- truth` does.

test("every feature there is has runs with its truth, and of healthy ones lies within its stated error", () => {
  const { byFeature, refused } = healthyErrors(1);
  expect([...byFeature.keys()].sort()).toEqual(Object.keys(featureCatalogue).sort());
  // An endpoint so near the load's end that noise puts it beyond is refused, and rightly.
  expect(refused.filter((one) => !one.startsWith("dry.t_end "))).toEqual([]);
  for (const [id, { off, stated }] of byFeature) {
    expect(stated, `${id} states its error`).toBeDefined();
    expect(off.length, id).toBeGreaterThan(0);
    expect(Math.max(...off.map(Math.abs)), id).toBeLessThanOrEqual(stated!);
  }
});

test("of a thousand spoiled runs at most one gives a number off by more than its stated error", () => {
  const { runs, numbers, refusals, lies } = spoilCheck(2);
  console.info(
    `${runs} spoiled runs: ${numbers} numbers, ${refusals} refusals; off in ${lies.length}:\n${lies.join("\n")}`,
  );
  expect(runs).toBeGreaterThanOrEqual(1000);
  expect(refusals).toBeGreaterThan(1000);
  expect(lies.length).toBeLessThanOrEqual(1);
});
