import { expect, test } from "vitest";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { singles, subgroups } from "../../../../spc/model/grouped.ts";
import { baselineOf, estimateLocation } from "../../../../spc/sigma/location.ts";
import { meanOf } from "../../../../spc/sigma/means.ts";
import { subgroupSizes } from "../../../../spc/sigma/subgroup-moments.ts";

const whole = (to: number) => usualDesign({ from: 0, to });
const code = (outcome: ReturnType<typeof estimateLocation>) => (outcome.ok ? "ok" : outcome.refusal.code);

test("single values are estimated from moving ranges, even two of them", () => {
  const found = estimateLocation(singles([10, 12]), whole(2));
  expect(found.ok && found.value).toMatchObject({ estimator: "moving-range", centre: 11, n: 2 });
  expect(found.ok && found.value.sigma).toBeCloseTo(Math.sqrt(Math.PI), 12);
  expect(found.ok && found.value.df).toBeCloseTo(0.605, 3);
});

test("equal subgroups are estimated from s or what is preferred, unequal ones pooled", () => {
  const equal = subgroups([[1, 2, 3], [2, 4, 6], [], [1, 1, 2]]);
  const estimators = (["mean-range", "mean-s", "pooled-s"] as const).map((prefer) => {
    const found = estimateLocation(equal, whole(4), prefer);
    return found.ok ? [found.value.estimator, found.value.n] : null;
  });
  expect(estimators).toEqual([
    ["mean-range", 3],
    ["mean-s", 3],
    ["pooled-s", 3],
  ]);
  const missing = estimateLocation(subgroups([[1, 2, 3], [2, 4], [5]]), whole(3), "mean-range");
  expect(missing.ok && missing.value).toMatchObject({ estimator: "pooled-s", df: 3, n: 3, centre: 17 / 6 });
});

test("the basis overall is s with n - 1 over all values", () => {
  const found = estimateLocation(singles([1, null, 2, 3, 4, 5]), { ...whole(6), basis: "overall" });
  expect(found.ok && found.value).toEqual({ estimator: "overall", centre: 3, sigma: Math.sqrt(2.5), df: 4, n: 5 });
});

test("what is given stands in place of its estimate", () => {
  const data = singles([1, 2, 4]);
  const both = estimateLocation(data, { ...whole(3), centre: 7, sigma: 2 });
  expect(both.ok && both.value).toEqual({ estimator: "given", centre: 7, sigma: 2, df: null, n: 3 });
  const sigma = estimateLocation(data, { ...whole(3), sigma: 2 });
  expect(sigma.ok && sigma.value).toMatchObject({ estimator: "given", centre: 7 / 3, sigma: 2, df: null });
  const centre = estimateLocation(data, { ...whole(3), centre: 7 });
  expect(centre.ok && centre.value).toMatchObject({ estimator: "moving-range", centre: 7 });
  expect(code(estimateLocation(singles([]), { ...whole(0), centre: 7, sigma: 2 }))).toBe("ok");
});

test("too little, or nothing that varies, is refused", () => {
  expect(code(estimateLocation(singles([]), whole(0)))).toBe("too-few");
  expect(code(estimateLocation(singles([1, 2, 3]), usualDesign({ from: 1, to: 2 })))).toBe("too-few");
  expect(code(estimateLocation(singles([1, null, 3]), whole(3)))).toBe("too-few");
  expect(code(estimateLocation(singles([1, 2, 3]), { ...usualDesign({ from: 1, to: 1 }), sigma: 1 }))).toBe("too-few");
  expect(code(estimateLocation(subgroups([[1, 2, 3]]), whole(1)))).toBe("too-few");
  expect(code(estimateLocation(singles([5, 5, 5]), whole(3)))).toBe("zero-variation");
  expect(code(estimateLocation(singles([5, 5, null, 7, 7]), whole(5)))).toBe("zero-variation");
  // Both are written 0.3 and differ in their last bit.
  expect(code(estimateLocation(singles([0.1 + 0.2, 0.3, 0.1 + 0.2]), whole(3)))).toBe("zero-variation");
  for (const same of [
    [
      [1, 1],
      [2, 2],
    ],
    [[1, 1], [2, 2, 2], [3]],
  ])
    expect(code(estimateLocation(subgroups(same), whole(same.length)))).toBe("zero-variation");
  expect(code(estimateLocation(singles([0, 0, 0]), { ...whole(3), basis: "overall" }))).toBe("zero-variation");
  // Its squares are nothing.
  expect(
    code(
      estimateLocation(
        subgroups([
          [1e-300, 2e-300],
          [0, 3e-300],
        ]),
        whole(2),
      ),
    ),
  ).toBe("zero-variation");
});

test("values too large to be squared are refused, and what is no number is a defect", () => {
  expect(
    code(
      estimateLocation(
        subgroups([
          [1e300, -1e300],
          [0, 3e300],
        ]),
        whole(2),
      ),
    ),
  ).toBe("not-finite");
  expect(
    code(
      estimateLocation(
        subgroups([
          [1.7e308, -1.7e308],
          [0, 1e308],
        ]),
        whole(2),
      ),
    ),
  ).toBe("not-finite");
  for (const bad of [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]) {
    expect(() => estimateLocation(singles([1, bad, 2]), whole(3))).toThrow(RangeError);
    expect(() =>
      estimateLocation(
        subgroups([
          [1, bad],
          [2, 3],
        ]),
        whole(2),
      ),
    ).toThrow(RangeError);
  }
});

test("a design that cannot be meant is a defect", () => {
  const data = singles([1, 2, 4]);
  const design = whole(3);
  for (const wrong of [
    { baseline: { from: -1, to: 3 } },
    { baseline: { from: 2, to: 1 } },
    { baseline: { from: 0, to: 4 } },
    { baseline: { from: 0.5, to: 2 } },
    { k: 0 },
    { k: Number.POSITIVE_INFINITY },
    { centre: Number.NaN },
    { sigma: 0 },
    { sigma: Number.POSITIVE_INFINITY },
  ])
    expect(() => estimateLocation(data, { ...design, ...wrong })).toThrow(RangeError);
});

test("a baseline is seen in its own right", () => {
  const data = { ...subgroups([[1], [2, 3], [], [4, 5]]), anew: [1, 2, 3] };
  expect(baselineOf(data, usualDesign({ from: 1, to: 3 }))).toEqual({
    values: Float64Array.of(2, 3),
    starts: Uint32Array.of(0, 2, 2),
    anew: [1],
  });
  expect(subgroupSizes(data.starts)).toMatchObject({ smallest: 1, largest: 2 });
  expect(subgroupSizes(Uint32Array.of(0, 0))).toMatchObject({ smallest: 0, largest: 0 });
  expect(() => meanOf(Float64Array.of(Number.NaN), "a mean")).toThrow(RangeError);
});
