import { expect, test } from "vitest";
import { c4 } from "../../../../spc/factors/c4.ts";
import {
  factorA,
  factorA2,
  factorA3,
  factorA4,
  factorB3,
  factorB4,
  factorB5,
  factorB6,
  factorD1,
  factorD2,
  factorD3,
  factorD4,
  factorE2,
  factorE3,
} from "../../../../spc/factors/chart-factors.ts";
import { d2 } from "../../../../spc/factors/d2.ts";
import { d2Star } from "../../../../spc/factors/d2-star.ts";
import { d3 } from "../../../../spc/factors/d3.ts";
import { medianSigma } from "../../../../spc/factors/median-sigma.ts";
import { reference } from "../../ledger/reference.ts";
import type { Tolerance } from "../../ledger/tolerance.ts";
import { absolute, either, printed, relative } from "../../ledger/tolerance.ts";

const ours: Readonly<Record<string, (n: number) => number>> = {
  A: (n) => factorA(n),
  A2: (n) => factorA2(n),
  A3: (n) => factorA3(n),
  A4_median_Rbar: (n) => factorA4(n),
  B3: (n) => factorB3(n),
  B4: (n) => factorB4(n),
  B5: (n) => factorB5(n),
  B6: (n) => factorB6(n),
  D1: (n) => factorD1(n),
  D2: (n) => factorD2(n),
  D3: (n) => factorD3(n),
  D4: (n) => factorD4(n),
  E2: (n) => factorE2(n),
  E3: (n) => factorE3(n),
  c4,
  d2,
  d3,
  one_over_c4: (n) => 1 / c4(n),
  one_over_d2: (n) => 1 / d2(n),
  d2star_g1: (n) => d2Star(n, 1),
  sigma_median: medianSigma,
};

/** The source's median factors are good to nine digits, all others to more. */
const exactly = (symbol: string): Tolerance => relative(/median/.test(symbol) ? 3e-9 : 1e-9);

/** Printed values that are no correct roundings; the D4 of 5 is NIST's. */
const misprints = new Set(
  [
    "d3 19",
    ...[7, 10, 12, 19, 21, 22, 23, 25].map((n) => `D1 ${n}`),
    ...[6, 8, 9, 15, 19, 24].map((n) => `D2 ${n}`),
    ...[19, 22, 24].map((n) => `D3 ${n}`),
    ...[3, 18, 19, 22].map((n) => `D4 ${n}`),
    "E2 2",
    ...[6, 7, 8, 10].map((n) => `A4_median_Rbar ${n}`),
  ].concat("NIST D4 5"),
);

for (const record of reference("constants_exact.json", [])) {
  test(record.title, () => {
    const symbols = Object.keys(record.get<object>(""));
    expect(symbols.length).toBeGreaterThanOrEqual(19);
    for (const symbol of symbols) record.check(symbol, ours[symbol]!(Number(record.id)), exactly(symbol));
  });
}

const rows = reference("control_chart_constants.csv", ["n", "printed_decimals"]);
const bySymbol = new Map<string, typeof rows>();
for (const row of rows) {
  const symbol = row.get<string>("symbol");
  bySymbol.set(symbol, [...(bySymbol.get(symbol) ?? []), row]);
}

test("the table of constants is whole", () => {
  expect(rows).toHaveLength(868);
  expect([...bySymbol.keys()].sort()).toEqual(Object.keys(ours).sort());
});

for (const [symbol, own] of bySymbol) {
  test(`control_chart_constants.csv ${symbol}, ISO 7870-2, ASTM MNL 7, handbooks as each row says [from memory]`, () => {
    for (const row of own) {
      const n = Number(row.get("n"));
      const actual = ours[symbol]!(n);
      row.check("exact_value", actual, exactly(symbol));
      const rounded = row.get<string>("exact_rounded_to_printed_decimals");
      const decimals = rounded.split(".")[1]?.length ?? 0;
      row.check("exact_rounded_to_printed_decimals", actual, printed(decimals));
      const value = row.get<string>("printed_value");
      if (value === "") continue;
      const nist = row.get<string>("source").startsWith("NIST") ? "NIST " : "";
      const known = misprints.has(`${nist}${symbol} ${n}`);
      expect(row.get("printed_is_correct_rounding"), `${nist}${symbol} ${n}`).toBe(known ? "NO" : "yes");
      if (known) row.checkMisprint("printed_value", actual, printed(decimals), 0.002);
      else row.check("printed_value", actual, printed(Number(row.get("printed_decimals"))));
      row.check("printed_minus_exact", Number(value) - actual, either(relative(0.005), absolute(1e-9)));
    }
  });
}

test("for two values the factors have closed forms", () => {
  expect(d2(2)).toBeCloseTo(2 / Math.sqrt(Math.PI), 14);
  expect(d3(2)).toBeCloseTo(Math.sqrt(2 - 4 / Math.PI), 13);
  expect(c4(2)).toBeCloseTo(Math.sqrt(2 / Math.PI), 15);
  expect(medianSigma(2)).toBeCloseTo(Math.SQRT1_2, 13);
  expect(medianSigma(1)).toBeCloseTo(1, 14);
});
