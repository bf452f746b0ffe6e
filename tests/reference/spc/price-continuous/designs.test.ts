import { expect, test } from "vitest";
import { cusumRunLength } from "../../../../spc/price/cusum-run-length.ts";
import { cusumIntervalFor, ewmaWidthFor } from "../../../../spc/price/design.ts";
import { ewmaRunLength } from "../../../../spc/price/ewma-run-length.ts";
import { reference } from "../../ledger/reference.ts";
import { absolute, relative } from "../../ledger/tolerance.ts";

const records = reference("arl_designs.csv", ["p1"]);

test.each(records.map((record) => [record.title, record] as const))("%s", (_, record) => {
  const given = Number(record.get("p1"));
  const limit = Number(record.get("p2"));
  const runLength = Number(record.get("arl0"));
  const ewma = record.get<string>("scheme") === "ewma";
  const actual = ewma ? ewmaWidthFor(given, runLength) : cusumIntervalFor(given, runLength);
  record.check("p2", actual, relative(1e-9));
  // And the other way round: the published limit has the published run length.
  const back = ewma
    ? ewmaRunLength({ lambda: given, width: limit, limits: "asymptotic" }).average
    : cusumRunLength({ k: given, h: limit });
  record.check("arl0", back, absolute(1e-6));
});

test("the pairs of Lucas and Saccucci 1990 for 500 points and of Hawkins 1993 for 370 [from memory]", () => {
  const widths = { 0.05: 2.615, 0.1: 2.814, 0.2: 2.962, 0.25: 2.998, 0.4: 3.054 };
  for (const [lambda, width] of Object.entries(widths)) {
    expect(Math.abs(ewmaWidthFor(Number(lambda), 500) - width)).toBeLessThan(0.0006);
  }
  const intervals = { 0.25: 8.01, 0.5: 4.77, 0.75: 3.34, 1: 2.52, 1.25: 1.99, 1.5: 1.61 };
  for (const [k, h] of Object.entries(intervals)) {
    expect(Math.abs(cusumIntervalFor(Number(k), 370) - h)).toBeLessThan(0.006);
  }
});

test("the defaults of the charts stand where they should: about 370 points", () => {
  expect(ewmaRunLength({ lambda: 0.2, width: 2.86, limits: "asymptotic" }).average).toBeCloseTo(371.1, 1);
  expect(cusumRunLength({ k: 0.5, h: 4.77 })).toBeCloseTo(737.12279 / 2, 3);
});

test("two-sided CUSUM with k 0.5: 168 points for h 4 and 465 for h 5 (Montgomery, Introduction to SQC, from memory)", () => {
  expect(Math.round(cusumRunLength({ k: 0.5, h: 4 }))).toBe(168);
  expect(Math.round(cusumRunLength({ k: 0.5, h: 5 }))).toBe(465);
});
