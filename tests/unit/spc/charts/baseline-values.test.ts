import { expect, test } from "vitest";
import { baselineValues } from "../../../../spc/charts/baseline-values.ts";
import { normals } from "../../../property/spc/seeded.ts";
import { baselineOf, granted } from "../press-fixtures.ts";

const spacing = { everyMs: 1000 };
const next = normals(8);
const values = Array.from({ length: 40 }, () => 750 + 3 * next());
const code = (baseline: Parameters<typeof baselineValues>[0]) => {
  const found = baselineValues(baseline, spacing);
  return found.ok ? null : found.refusal.code;
};

test("a missing value costs two moving ranges, a gap one", () => {
  const whole = granted(baselineValues(baselineOf(values), spacing));
  expect(whole.movingRanges).toHaveLength(39);
  const holed = granted(baselineValues(baselineOf(values.map((value, i) => (i === 10 ? null : value))), spacing));
  expect(holed.values).toHaveLength(39);
  expect(holed.movingRanges).toHaveLength(37);
  const late = baselineOf(values).map((s) => (s.index < 20 ? s : { ...s, atMs: s.atMs + 3000 }));
  const torn = granted(baselineValues(late, spacing));
  expect(torn.values).toHaveLength(40);
  expect(torn.movingRanges).toHaveLength(38);
  expect(torn.places[20]).toBeNull();
});

test("too few values, or too few neighbours among them, are refused with what is needed and there", () => {
  expect(baselineValues(baselineOf(values.slice(0, 24)), spacing)).toMatchObject({
    refusal: { code: "too-few", needs: 25, has: 24 },
  });
  expect(baselineValues(baselineOf(values, 5000), spacing)).toMatchObject({
    refusal: { code: "too-few", needs: 20, has: 0 },
  });
});

test("values that do not vary, or whose neighbours never differ, are refused", () => {
  expect(code(baselineOf(values.map(() => 750)))).toBe("zero-variation");
  expect(code(baselineOf(values.map((_, i) => (i % 2 === 0 ? 0.3 : 0.1 + 0.2))))).toBe("zero-variation");
  const step = baselineOf(values.map((_, i) => (i < 20 ? 1 : 2)));
  expect(code(step.map((s) => (s.index < 20 ? s : { ...s, atMs: s.atMs + 9000 })))).toBe("zero-variation");
});

test("what is no number, or too large to be squared, is refused", () => {
  for (const value of [Number.NaN, Number.POSITIVE_INFINITY, 1e200]) {
    expect(code(baselineOf([...values, value]))).toBe("not-a-number");
  }
});

test("subgroups of several values, or out of time order, are a defect", () => {
  const [first, second] = baselineOf([1, 2]);
  expect(() => baselineValues([{ ...first!, values: [1, 2] }], spacing)).toThrow(RangeError);
  expect(() => baselineValues([second!, first!], spacing)).toThrow(/time order/);
});
