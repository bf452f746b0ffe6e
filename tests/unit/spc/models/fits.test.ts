import { expect, test } from "vitest";
import { fitBoxCox } from "../../../../spc/models/box-cox.ts";
import { fitDistance } from "../../../../spc/models/fit-distance.ts";
import { FITTED_MODEL } from "../../../../spc/models/fitted-values.ts";
import { fitFoldedNormal, foldedNormal } from "../../../../spc/models/folded-normal.ts";
import { fitGamma, gamma } from "../../../../spc/models/gamma.ts";
import { johnson } from "../../../../spc/models/johnson.ts";
import { fitLognormal, lognormal } from "../../../../spc/models/lognormal.ts";
import { fitNormal, normal } from "../../../../spc/models/normal.ts";
import { percentileIndices } from "../../../../spc/models/percentile-indices.ts";
import { fitRayleigh, rayleigh } from "../../../../spc/models/rayleigh.ts";
import { fitJohnson, johnsonThrough } from "../../../../spc/models/slifer-shapiro.ts";
import { fitWeibull, weibull } from "../../../../spc/models/weibull.ts";
import { normals } from "../../../property/spc/seeded.ts";

const aboveZero = { fitLognormal, fitWeibull, fitGamma, fitBoxCox: (x: readonly number[]) => fitBoxCox(x, 0.95) };
const zeroToo = { fitFoldedNormal, fitRayleigh };
const any = { fitNormal, fitJohnson };
const fits = Object.entries({ ...aboveZero, ...zeroToo, ...any });
const said = (model: (values: readonly number[]) => unknown, values: readonly number[]): unknown => model(values);
const upTo = (n: number): number[] => Array.from({ length: n }, (_, i) => i + 1);

test.each(fits)("%s refuses what cannot be fitted", (_, model) => {
  expect(said(model, [])).toMatchObject({ refusal: { code: "too-few", has: 0 } });
  expect(said(model, upTo(24))).toMatchObject({ refusal: { code: "too-few", needs: 25, has: 24 } });
  expect(said(model, Array(30).fill(3.7))).toMatchObject({ refusal: { code: "zero-variation" } });
  for (const bad of [Number.NaN, Infinity]) expect(() => model([...upTo(30), bad])).toThrow(RangeError);
});

test.each(Object.entries(aboveZero))("%s refuses a value at zero", (_, model) => {
  expect(said(model, [0, ...upTo(30)])).toMatchObject({ refusal: { code: "not-positive" } });
  expect(said(model, [-1, ...upTo(30)])).toMatchObject({ refusal: { code: "not-positive" } });
});

test.each(Object.entries(zeroToo))("%s holds zero and refuses what lies below", (_, model) => {
  expect(said(model, [0, ...upTo(30)])).toMatchObject({ ok: true });
  expect(said(model, [-1, ...upTo(30)])).toMatchObject({ refusal: { code: "not-positive" } });
});

test("a folded normal about zero is the half normal", () => {
  const next = normals(5);
  const found = fitFoldedNormal(Array.from({ length: 400 }, () => Math.abs(next()) ** 1.2));
  expect(found).toMatchObject({ ok: true, value: { parameters: { mu: 0 } } });
  const half = foldedNormal(0, 2);
  expect(half.quantile(0.5)).toBeCloseTo(2 * 0.674489750196082, 12);
});

test("far from zero no power does anything, and that is said", () => {
  const next = normals(7);
  const values = Array.from({ length: 60 }, () => 1e6 + next());
  expect(fitBoxCox(values, 0.95)).toMatchObject({ refusal: { code: "no-fit" } });
  expect(() => fitBoxCox(values, 1)).toThrow(RangeError);
});

test("a power people know is taken where the interval holds it, and not elsewhere", () => {
  const next = normals(11);
  const roots = Array.from({ length: 100 }, () => (10 + 2 * next()) ** 2);
  expect(fitBoxCox(roots, 0.95)).toMatchObject({ ok: true, value: { chosen: 0.5 } });
  const many = Array.from({ length: 20_000 }, () => (10 + 2 * next()) ** 4);
  const found = fitBoxCox(many, 0.95);
  expect(found.ok && Math.abs(found.value.lambda - 0.25) < 0.02).toBe(true);
  expect(found.ok && found.value.chosen === found.value.lambda).toBe(true);
});

test("Johnson's curve is refused where quantiles coincide or the tail lies on the other side", () => {
  expect(johnsonThrough([1, 1, 2, 3], 0.5)).toMatchObject({ refusal: { code: "no-fit" } });
  expect(johnsonThrough([-11.62, -10.8416, -10.4371, -10.2271], 0.524)).toMatchObject({ refusal: { code: "no-fit" } });
  expect(johnsonThrough([-3, -1, 1, 3], 1)).toMatchObject({
    value: { form: "normal", parameters: { mu: 0, sigma: 1 } },
  });
  expect(() => johnsonThrough([1, 2, 3, Number.NaN], 0.5)).toThrow(RangeError);
  expect(() => johnsonThrough([1, 2, 3, 4], 0)).toThrow(RangeError);
  expect(fitJohnson(upTo(30), 0.8)).toMatchObject({ refusal: { code: "too-few" } });
  expect(fitJohnson(upTo(30))).toMatchObject({ ok: true, value: { form: "johnson-sb" } });
});

test("parameters that are none are defects", () => {
  for (const bad of [0, -1, Number.NaN, Infinity]) {
    expect(() => weibull(bad, 1)).toThrow(RangeError);
    expect(() => gamma(1, bad)).toThrow(RangeError);
    expect(() => rayleigh(bad)).toThrow(RangeError);
    expect(() => foldedNormal(0, bad)).toThrow(RangeError);
    expect(() => johnson({ form: "su", gamma: 0, delta: bad, xi: 0, lambda: 1 })).toThrow(RangeError);
  }
  for (const bad of [0, -1, Number.NaN]) {
    expect(() => lognormal(0, bad)).toThrow(RangeError);
    expect(() => normal(0, bad)).toThrow(RangeError);
  }
  expect(() => foldedNormal(-1, 1)).toThrow(RangeError);
  expect(() => foldedNormal(0, 1).quantile(1)).toThrow(RangeError);
});

test("below zero a model of magnitudes holds nothing", () => {
  const models = [lognormal(0, 1), weibull(1, 1), gamma(1, 1), rayleigh(1), foldedNormal(1, 1)];
  for (const model of models) expect([model.cdf(-1), model.cdf(0)]).toEqual([0, 0]);
  const bounded = johnson({ form: "sb", gamma: 0, delta: 1, xi: 2, lambda: 3 });
  expect([bounded.cdf(2), bounded.cdf(5), bounded.cdf(9)]).toEqual([0, 1, 1]);
  expect(johnson({ form: "sl", gamma: 0, delta: 1, xi: 2 }).cdf(2)).toBe(0);
});

test("of a normal the percentile method is Ppk, side by side", () => {
  const model = normal(16, 2);
  const { pp, ppu, ppl, ppk } = percentileIndices(model, { lower: 8, upper: 20 });
  // The quantile at 0.99865 is 2.99997699, not 3.
  const share = 3 / 2.99997699;
  expect(pp.ok && pp.value).toBeCloseTo(share, 7);
  expect(ppu.ok && ppu.value).toBeCloseTo((2 / 3) * share, 7);
  expect(ppl.ok && ppl.value).toBeCloseTo((4 / 3) * share, 7);
  expect(ppk.ok && ppk.value).toBeCloseTo((2 / 3) * share, 7);
});

test("one side has its own index and Ppk, and nothing has none", () => {
  const model = normal(16, 2);
  const code = "one-sided-specification";
  const upper = percentileIndices(model, { upper: 20 });
  expect(upper.ppk).toEqual(upper.ppu);
  expect([upper.pp, upper.ppl]).toMatchObject([{ refusal: { code } }, { refusal: { code } }]);
  const lower = percentileIndices(model, { lower: 8 });
  expect(lower.ppk).toEqual(lower.ppl);
  const none = { refusal: { code: "no-specification" } };
  expect(percentileIndices(model, {})).toMatchObject({ pp: none, ppu: none, ppl: none, ppk: none });
  const wide = percentileIndices(normal(0, 1e-10), { lower: -1e300, upper: 1e300 });
  expect(wide.ppk).toMatchObject({ refusal: { code: "not-a-number" } });
});

test("a value beyond the end of a model is far away, not nowhere", () => {
  const distance = fitDistance([-1, 1, 2], weibull(1, 1));
  expect(distance).toBeGreaterThan(50);
  expect(Number.isFinite(distance)).toBe(true);
  expect(() => fitDistance([], weibull(1, 1))).toThrow(RangeError);
  expect(() => fitDistance([Number.NaN], weibull(1, 1))).toThrow(RangeError);
});

test("beside a fitted curve stands that it describes one process", () => {
  expect(FITTED_MODEL.code).toBe("fitted-model");
  expect(FITTED_MODEL.text).toContain("one process");
});
