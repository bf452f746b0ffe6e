import { expect, test } from "vitest";
import { betaQuantile } from "../../../../spc/library/beta.ts";
import { chiSquareQuantile } from "../../../../spc/library/chi-square.ts";
import { binomialCdf, poissonCdf } from "../../../../spc/library/counts.ts";
import { fQuantile } from "../../../../spc/library/fisher-f.ts";
import { gammaCdf, logGamma } from "../../../../spc/library/gamma.ts";
import { normalCdf, normalQuantile } from "../../../../spc/library/normal.ts";
import { tQuantile } from "../../../../spc/library/students-t.ts";
import { reference } from "../../ledger/reference.ts";
import { absolute, either, relative } from "../../ledger/tolerance.ts";

const records = reference("distribution_checks.csv", ["arg"]);

/** Parameters as the file writes them: `df1=2;df2=60`. */
function parameters(text: string): readonly number[] {
  return text === "" ? [] : text.split(";").map((part) => Number(part.split("=")[1]));
}

const found: Record<string, (arg: number, p: readonly number[]) => number> = {
  normal_cdf: (x) => normalCdf(x),
  normal_quantile: (p) => normalQuantile(p),
  t_quantile: (p, [df]) => tQuantile(p, df!),
  chi2_quantile: (p, [df]) => chiSquareQuantile(p, df!),
  F_quantile: (p, [df1, df2]) => fQuantile(p, df1!, df2!),
  beta_quantile: (p, [a, b]) => betaQuantile(p, a!, b!),
  binom_cdf: (x, [n, p]) => binomialCdf(x, n!, p!),
  poisson_cdf: (x, [mean]) => poissonCdf(x, mean!),
  gamma_cdf: (x, [shape]) => gammaCdf(x, shape!),
  lgamma: (x) => logGamma(x),
};

test.each(Object.keys(found))("%s agrees with R 4.2.2", (fn) => {
  const own = records.filter((record) => record.get<string>("fn") === fn);
  expect(own.length).toBeGreaterThanOrEqual(7);
  for (const record of own) {
    const arg = Number(record.get("arg"));
    const actual = found[fn]!(arg, parameters(record.get("params")));
    record.check("value", actual, either(relative(fn.startsWith("normal") ? 1e-13 : 1e-9), absolute(1e-14)));
  }
});

test("far out in its tail the normal quantile is the inverse of the normal cdf", () => {
  for (let exponent = 2; exponent <= 300; exponent += 1) {
    const p = 10 ** -exponent;
    expect(Math.abs(normalCdf(normalQuantile(p)) / p - 1), `${p}`).toBeLessThan(1e-12);
  }
  // R 4.2.2, qnorm(1e-20) and qnorm(1e-300).
  expect(normalQuantile(1e-20)).toBeCloseTo(-9.26234008979841, 12);
  expect(normalQuantile(1e-300)).toBeCloseTo(-37.0470962993612, 11);
  expect(normalQuantile(1 - 1e-10)).toBeCloseTo(6.361340889697422, 9);
});

test("a probability or degrees of freedom out of range is a defect", () => {
  for (const p of [0, 1, -0.1, Number.NaN]) {
    expect(() => normalQuantile(p)).toThrow(RangeError);
    expect(() => tQuantile(p, 5)).toThrow(RangeError);
    expect(() => chiSquareQuantile(p, 5)).toThrow(RangeError);
    expect(() => fQuantile(p, 2, 5)).toThrow(RangeError);
    expect(() => betaQuantile(p, 2, 5)).toThrow(RangeError);
  }
  expect(() => chiSquareQuantile(0.5, 0)).toThrow(RangeError);
  expect(() => tQuantile(0.5, Number.NaN)).toThrow(RangeError);
  expect(() => binomialCdf(1, 2.5, 0.5)).toThrow(RangeError);
  expect(() => poissonCdf(1, -1)).toThrow(RangeError);
  expect(() => gammaCdf(1, 0)).toThrow(RangeError);
  expect(() => logGamma(0)).toThrow(RangeError);
});
