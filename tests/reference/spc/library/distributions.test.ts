import { expect, test } from "vitest";
import { chiSquareQuantile } from "../../../../spc/library/chi-square.ts";
import { normalCdf, normalQuantile } from "../../../../spc/library/normal.ts";
import { tQuantile } from "../../../../spc/library/students-t.ts";
import { referenceData, relativeError } from "../data.ts";

const rows = referenceData<{ fn: string; params: string; arg: number; value: number }[]>("distributions");
const df = (params: string): number => Number(params.replace("df=", ""));
const found: Record<string, (row: (typeof rows)[number]) => number> = {
  normal_cdf: ({ arg }) => normalCdf(arg),
  normal_quantile: ({ arg }) => normalQuantile(arg),
  t_quantile: ({ arg, params }) => tQuantile(arg, df(params)),
  chi2_quantile: ({ arg, params }) => chiSquareQuantile(arg, df(params)),
};

test.each(Object.keys(found))("%s agrees with R 4.2.2", (fn) => {
  const own = rows.filter((row) => row.fn === fn);
  expect(own.length).toBeGreaterThanOrEqual(16);
  for (const row of own) {
    const label = `${fn}(${row.arg}; ${row.params})`;
    if (row.value === 0) expect(Math.abs(found[fn]!(row)), label).toBeLessThan(1e-12);
    // Six sigma and more out, the library's normal quantile keeps eight digits.
    else expect(relativeError(found[fn]!(row), row.value), label).toBeLessThan(row.arg < 1e-9 ? 1e-8 : 1e-9);
  }
});

test("a probability or degrees of freedom out of range is a defect", () => {
  for (const p of [0, 1, -0.1, Number.NaN]) {
    expect(() => normalQuantile(p)).toThrow(RangeError);
    expect(() => tQuantile(p, 5)).toThrow(RangeError);
    expect(() => chiSquareQuantile(p, 5)).toThrow(RangeError);
  }
  expect(() => chiSquareQuantile(0.5, 0)).toThrow(RangeError);
  expect(() => tQuantile(0.5, Number.NaN)).toThrow(RangeError);
});
