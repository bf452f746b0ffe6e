import { expect, test } from "vitest";
import { cusumOneSidedRunLength, cusumRunLength } from "../../../../spc/price/cusum-run-length.ts";
import { ewmaRunLength } from "../../../../spc/price/ewma-run-length.ts";
import { shewhartRunLength, shewhartSignalChance } from "../../../../spc/price/shewhart-run-length.ts";
import type { ReferenceRecord } from "../../ledger/reference.ts";
import { reference } from "../../ledger/reference.ts";
import type { Tolerance } from "../../ledger/tolerance.ts";
import { absolute, either, relative } from "../../ledger/tolerance.ts";
import { asWritten } from "./significant.ts";

const inputs = ["lambda_or_k", "L_or_h", "headstart", "shift_sigma"];
const records = reference("arl_shewhart_ewma_cusum.csv", inputs);

/** Each scheme's run length from the parameters that the file names. */
const found: Record<string, (a: number, b: number, start: number, shift: number) => number> = {
  shewhart_3sigma: (width, _, __, shift) => shewhartRunLength(width, shift),
  ewma_two_sided_asymptotic_limits_zero_state: (lambda, width, _, shift) =>
    ewmaRunLength({ lambda, width, limits: "asymptotic" }, shift).average,
  cusum_one_sided_upper: (k, h, _, shift) => cusumOneSidedRunLength({ k, h }, shift).average,
  cusum_two_sided: (k, h, _, shift) => cusumRunLength({ k, h }, shift),
  cusum_two_sided_FIR: (k, h, headStart, shift) => cusumRunLength({ k, h, headStart }, shift),
};

const computed = (record: ReferenceRecord): number => {
  const [a, b, start, shift] = inputs.map((name) => Number(record.get(name)));
  return found[record.get<string>("scheme")]!(a!, b!, start!, shift!);
};

/** Values that are not the exact ones, by column: how far off they are at most, and why. */
const astray: Record<string, Readonly<Record<string, number>>> = {
  // The file's computation loses digits where the other side's run length is beyond 1e11: with 40 digits, by a program
  // of its own, these are 1.32539312234150 and 2.36229094128814.
  // The printed 1.32 of the first is remembered from a table that was had by a Markov chain.
  "cusum_two_sided_FIR 0.5 4.0 2 3.0": { arl_computed: 1e-7, arl_printed: 0.0054 },
  "cusum_two_sided_FIR 0.5 5.0 2.5 2.0": { arl_computed: 2e-6 },
  // Remembered, and not exact (README of the data, point 7).
  "cusum_one_sided_upper 0.5 4.0 0 0.0": { arl_printed: 0.64 },
  "cusum_one_sided_upper 0.5 5.0 0 0.0": { arl_printed: 0.9 },
  // 370 was aimed at; h for it is 1.6045, of which 1.61 is no rounding.
  "cusum_two_sided 1.5 1.61 0 0.0": { arl_printed: 6.4 },
};

test.each(records.map((record) => [record.title, record] as const))("%s", (_, record) => {
  const actual = computed(record);
  const off = astray[["scheme", ...inputs].map((name) => record.get<string>(name)).join(" ")];
  const text = record.get<string>("arl_printed");
  const expected = {
    arl_computed: asWritten(record.get<string>("arl_computed")),
    arl_printed: printedTolerance(record),
  };
  for (const [column, tolerance] of Object.entries(expected)) {
    if (record.get<string>(column) === "") continue;
    const atMost = off?.[column];
    if (atMost !== undefined) record.checkMisprint(column, actual, tolerance, atMost);
    else record.check(column, actual, tolerance);
  }
  if (text === "") return;
  record.check("printed_rel_diff", Number(text) / actual - 1, asWritten(record.get<string>("printed_rel_diff")));
});

/** How far a printed value may lie off because of how it was had. */
function printedTolerance(record: ReferenceRecord): Tolerance {
  const text = record.get<string>("arl_printed");
  const scheme = record.get<string>("scheme");
  // Lucas and Saccucci used a Markov chain, which lies up to 0.2 % off (README of the data, point 6).
  if (scheme.startsWith("ewma")) return either(asWritten(text), relative(0.002));
  // Hawkins aimed at 370 and printed h with two decimals: the run length moves with the digits left out.
  if (record.get<string>("source_printed").startsWith("Hawkins")) {
    const [k, h] = [Number(record.get("lambda_or_k")), Number(record.get("L_or_h"))];
    return absolute(cusumRunLength({ k, h: h + 0.005 }) - cusumRunLength({ k, h }));
  }
  return asWritten(text);
}

test("the file holds 148 run lengths of five schemes", () => {
  expect(records.length).toBe(148);
  expect(new Set(records.map((record) => record.get("scheme"))).size).toBe(Object.keys(found).length);
});

const exact = reference("arl_ewma_exact_limits.csv", ["lambda", "L", "shift"]);

test.each(exact.map((record) => [record.title, record] as const))("%s", (_, record) => {
  const [lambda, width, shift] = ["lambda", "L", "shift"].map((name) => Number(record.get(name)));
  for (const limits of ["exact", "asymptotic"] as const) {
    const actual = ewmaRunLength({ lambda: lambda!, width: width!, limits }, shift!).average;
    const path = `arl_${limits}_limits`;
    record.check(path, actual, asWritten(record.get<string>(path)));
  }
});

test("power is one over the run length, and grows with the subgroup as methods of section 8 say", () => {
  expect(shewhartSignalChance(3, 1, 1)).toBeCloseTo(1 / 43.894682, 9);
  expect(shewhartRunLength(3, 1, 4)).toBeCloseTo(shewhartRunLength(3, 2), 12);
});
