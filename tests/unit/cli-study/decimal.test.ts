import fc from "fast-check";
import { expect, test } from "vitest";
import { type DecimalMark, Decimals } from "../../../api/cli/study/decimal.ts";

function read(text: string, mark: DecimalMark | null = null): number {
  const bytes = Buffer.from(`;${text};`);
  return new Decimals(mark).read(bytes, 1, bytes.length - 1);
}

test("numbers are read to the last bit as JavaScript reads them", () => {
  fc.assert(
    fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (value) => {
      for (const text of [String(value), value.toExponential(), value.toPrecision(12)]) {
        const wanted = Number(text);
        expect(read(text)).toBe(Number.isFinite(wanted) ? wanted + 0 : wanted);
      }
    }),
    { numRuns: 2000 },
  );
});

test("decimals of few digits, which go the quick way, are read to the last bit too", () => {
  const text = fc
    .tuple(
      fc.integer({ min: -(10 ** 9), max: 10 ** 9 }),
      fc.integer({ min: 0, max: 10 ** 7 }),
      fc.integer({ min: -30, max: 30 }),
    )
    .map(([whole, fraction, power]) => `${whole}.${fraction}e${power}`);
  const same = fc.property(text, (one) => {
    expect(read(one)).toBe(Number(one) + 0);
  });
  fc.assert(same, { numRuns: 2000 });
});

test.each([
  ["", Number.NaN],
  ["  \t", Number.NaN],
  [" 12 ", 12],
  ["+.5", 0.5],
  ["5.", 5],
  ["-0", 0],
  ["0e999", 0],
  ["9007199254740993", 9007199254740992],
])("%j is %d", (text, value) => {
  expect(read(text)).toBe(value);
});

test.each([
  "abc",
  ".",
  "-",
  "1e",
  "1e+",
  "1.2.3",
  "0x10",
  "1 2",
  "1e999",
  "-1e999",
  "NaN",
  "Infinity",
  "--1",
  "1,234,567",
])("%j is no finite number", (text) => {
  expect(Math.abs(read(text))).toBe(Number.POSITIVE_INFINITY);
});

test("the first mark that is seen is the decimal mark, and the other one is no number after it", () => {
  const decimals = new Decimals(null);
  const one = (text: string): number => decimals.read(Buffer.from(text), 0, text.length);
  expect([one("12"), one("1,5"), one("2,25"), decimals.commas]).toEqual([12, 1.5, 2.25, 2]);
  expect(one("1.5")).toBe(Number.POSITIVE_INFINITY);
});

test("thousands may be grouped only where the reader has said which mark is the decimal one", () => {
  expect([read("1,234", "point"), read("1,234.5", "point"), read("1.234,5", "comma")]).toEqual([1234, 1234.5, 1234.5]);
  expect(read("1.234,5")).toBe(Number.POSITIVE_INFINITY);
  expect(read("12,34.5", "point")).toBe(Number.POSITIVE_INFINITY);
});
