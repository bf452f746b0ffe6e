import { expect, test } from "vitest";
import { changePointByCusumZero } from "../../../../spc/changepoint/cusum-zero.ts";
import { dependenceCaution, residualLag } from "../../../../spc/changepoint/dependence.ts";
import { changePointKnownCentre } from "../../../../spc/changepoint/known-centre.ts";
import { largestDrop } from "../../../../spc/changepoint/largest-drop.ts";
import { largestF } from "../../../../spc/changepoint/largest-f.ts";
import { changePointPosterior, highestDensitySet } from "../../../../spc/changepoint/posterior.ts";
import { changePointUnknown } from "../../../../spc/changepoint/unknown-levels.ts";
import { columnFrom } from "../../../../spc/model/column.ts";
import { normals } from "../../../property/spc/seeded.ts";

const noise = (n: number, seed: number): number[] => {
  const next = normals(seed);
  return Array.from({ length: n }, () => next());
};

test("a change from a known level: the place, the new level, and a set that holds the place", () => {
  const found = changePointKnownCentre([0, 0, 0, 4, 4], 0, 1);
  if (!found.ok) throw new Error(found.refusal.detail);
  expect(found.value).toMatchObject({ index: 3, after: 4, criterion: 32, set: [3] });
  // A drop of at most 4.56 in log-likelihood is 9.12 in the criterion: 64/3 = 21.3 and 16 are further away.
  const wide = changePointKnownCentre([0, 0, 0, 4, 4], 0, 2);
  expect(wide.ok && wide.value.set).toEqual([0, 1, 2, 3, 4]);
});

test("of equal places the earliest is told", () => {
  // (2 + 2)^2 / 4 over four values is 4, as is 2^2 / 1 over the last.
  const found = changePointKnownCentre([2, 0, 0, 2], 0, 1);
  expect(found.ok && found.value.index).toBe(0);
});

test("only the values up to the signal count", () => {
  const found = changePointKnownCentre([0, 0, 5, 0, 0, 0, 0, 0, 0, 99], 0, 1, 3);
  expect(found.ok && found.value.index).toBe(2);
});

test("values at the centre show no change; distances beyond all numbers are refused", () => {
  expect(changePointKnownCentre([7, 7, 7], 7, 1)).toMatchObject({ ok: false, refusal: { code: "no-change" } });
  expect(changePointKnownCentre([1e300, 1e300], 0, 1e-300)).toMatchObject({
    ok: false,
    refusal: { code: "not-finite" },
  });
});

test("what cannot be asked is a defect", () => {
  for (const upTo of [0, 4, 1.5, Number.NaN])
    expect(() => changePointKnownCentre([1, 2, 3], 0, 1, upTo)).toThrow(RangeError);
  for (const sigma of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) {
    expect(() => changePointKnownCentre([1, 2, 3], 0, sigma)).toThrow(RangeError);
  }
  expect(() => changePointKnownCentre([1, Number.NaN], 0, 1)).toThrow(RangeError);
  expect(() => changePointKnownCentre([1, 2], Number.NaN, 1)).toThrow(RangeError);
  expect(() => changePointUnknown([...noise(20, 1), Number.NaN])).toThrow(RangeError);
  expect(() => highestDensitySet(Float64Array.of(1), 1)).toThrow(RangeError);
  expect(() => largestF(9, 0.01)).toThrow(RangeError);
});

test("a change between unknown levels: index counts from 0 and is the first place of the new level", () => {
  const values = noise(60, 6).map((z, i) => z + (i >= 40 ? 4 : 0));
  const found = changePointUnknown(values);
  if (!found.ok) throw new Error(found.refusal.detail);
  expect(found.value.index).toBe(40);
  expect(found.value.set).toContain(40);
  expect(found.value.after - found.value.before).toBeGreaterThan(3);
  expect(found.value.cautions).toEqual([]);
});

test("no change, too few values, no variation: refused", () => {
  expect(changePointUnknown(noise(100, 4))).toMatchObject({ ok: false, refusal: { code: "no-change" } });
  expect(changePointUnknown(noise(9, 4))).toMatchObject({ ok: false, refusal: { code: "too-few", needs: 10, has: 9 } });
  expect(changePointUnknown([])).toMatchObject({ ok: false, refusal: { code: "too-few" } });
  expect(changePointUnknown(Array(20).fill(0.1))).toMatchObject({ ok: false, refusal: { code: "zero-variation" } });
  // Two levels without any noise: chance cannot be measured.
  const steps = Array.from({ length: 20 }, (_, i) => (i < 10 ? 0.1 : 0.7));
  expect(changePointUnknown(steps)).toMatchObject({ ok: false, refusal: { code: "zero-variation" } });
});

test("where neighbours are alike beyond the change, the caller is told", () => {
  const next = normals(8);
  let level = 0;
  const values = Array.from({ length: 300 }, (_, i) => {
    level = 0.6 * level + next();
    return level + (i >= 150 ? 6 : 0);
  });
  const found = changePointUnknown(values);
  if (!found.ok) throw new Error(found.refusal.detail);
  expect(found.value.cautions.map(({ code }) => code)).toEqual(["autocorrelated"]);
  const known = changePointKnownCentre(values, 0, 1.25);
  expect(known.ok && known.value.cautions.map(({ code }) => code)).toEqual(["autocorrelated"]);
  expect(residualLag(new Float64Array(5))).toBe(0);
  expect(dependenceCaution(Float64Array.from({ length: 50 }, (_, i) => (i % 2 === 0 ? 1 : -1)))[0]?.text).toContain(
    "-0.98",
  );
});

test("the posterior adds up to one and its set is the smallest that holds the share", () => {
  const posterior = changePointPosterior(noise(50, 9).map((z, i) => z + (i >= 20 ? 2 : 0)));
  if (!posterior.ok) throw new Error(posterior.refusal.detail);
  expect(posterior.value.reduce((sum, p) => sum + p, 0)).toBeCloseTo(1, 12);
  expect(posterior.value[0]).toBe(0);
  expect(highestDensitySet(Float64Array.of(0, 0.2, 0.5, 0.3), 0.75)).toEqual([2, 3]);
  expect(highestDensitySet(Float64Array.of(0.25, 0.25, 0.25, 0.25), 0.5)).toEqual([0, 1]);
});

test("a CUSUM's change point is the place after its last zero", () => {
  expect(changePointByCusumZero(columnFrom([0, 0.4, 0, 1.1, 2.5]), 5)).toBe(3);
  expect(changePointByCusumZero(columnFrom([2, 3, 4]), 3)).toBe(0);
  expect(changePointByCusumZero(columnFrom([0, null, 4]), 3)).toBe(1);
  expect(changePointByCusumZero(columnFrom([0, 1, 0]), 2)).toBe(1);
  for (const upTo of [0, 4, 0.5]) expect(() => changePointByCusumZero(columnFrom([0, 1, 0]), upTo)).toThrow(RangeError);
});

test("thresholds lie between their rows and go on beyond the last; surer sets allow a larger drop", () => {
  expect(largestF(100, 0.01)).toBe(13.807);
  expect(largestF(10, 0.05)).toBe(13.402);
  const between = largestF(150, 0.01);
  expect(between).toBeGreaterThan(13.807);
  expect(between).toBeLessThan(13.856);
  expect(largestF(10_000_000, 0.01)).toBeGreaterThan(largestF(1_000_000, 0.01));
  expect(largestDrop(0.9)).toBeLessThan(largestDrop(0.95));
  expect(largestDrop(0.95)).toBeLessThan(largestDrop(0.99));
});
