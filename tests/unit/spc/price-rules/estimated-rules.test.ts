import { expect, test } from "vitest";
import type { EstimatedFrom } from "../../../../spc/price/estimated-limits.ts";
import { estimatedLimits } from "../../../../spc/price/estimated-limits.ts";
import { estimatedRules } from "../../../../spc/price/estimated-rules.ts";
import { ruleById } from "../../../../spc/rules/rule.ts";

const limit = ruleById("beyond-limit");
const nine = ruleById("nine-on-one-side");
const from: EstimatedFrom = { estimator: "pooled-s", points: 25, size: 5 };

test("for limits alone the ranked pairs give what the quadrature gives", () => {
  for (const one of [from, { estimator: "overall", points: 50, size: 1 } as const]) {
    const ranked = estimatedRules([limit], one);
    const exact = estimatedLimits(one);
    if (!ranked.ok || !exact.ok) throw new Error("refused");
    expect(ranked.value.tenth / exact.value.tenthRunLength).toBeCloseTo(1, 1);
    expect(ranked.value.median / exact.value.medianRunLength).toBeCloseTo(1, 1);
    expect(exact.value.shareBelow(ranked.value.ninetieth)).toBeCloseTo(0.9, 1);
  }
});

test("more rules cost more at every rank, and more values narrow the range", () => {
  const one = estimatedRules([limit], from);
  const two = estimatedRules([limit, nine], from);
  const many = estimatedRules([limit, nine], { ...from, points: 10_000 });
  if (!one.ok || !two.ok || !many.ok) throw new Error("refused");
  for (const rank of ["tenth", "median", "ninetieth"] as const) {
    expect(two.value[rank]).toBeLessThan(one.value[rank]);
    expect(Math.abs(many.value[rank] - 216.7)).toBeLessThan(12);
  }
});

test("rules that compare neighbours, and too few points, are refused", () => {
  const steps = estimatedRules([limit, ruleById("six-in-one-direction")], from);
  expect(!steps.ok && steps.refusal.code).toBe("compares-neighbours");
  const few = estimatedRules([limit], { ...from, points: 3 });
  expect(!few.ok && few.refusal.code).toBe("too-few");
});
