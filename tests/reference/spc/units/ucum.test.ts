import { expect, test } from "vitest";
import { convert, convertDifference, dimensionOf, unitsOfQuantity } from "../../../../spc/units/ucum.ts";

// NIST SP 811 (2008), appendix B.8 and B.9, from memory: psi and bar to Pa, standard gravity, degree Fahrenheit to
// degree Celsius and kelvin. UCUM, tables 4 and 5: bar, minute, hour, percent, degree Celsius.
test.each([
  [1, "[psi]", "Pa", 6894.757],
  [15, "[psi]", "bar", 1.034214],
  [1, "bar", "Pa", 1e5],
  [1013.25, "mbar", "kPa", 101.325],
  [1013.25, "hPa", "Pa", 101325],
  [90.1, "kPa", "bar", 0.901],
  [1, "[g]", "m/s2", 9.80665],
  [0, "Cel", "K", 273.15],
  [212, "[degF]", "Cel", 100],
  [32, "[degF]", "K", 273.15],
  [-40, "[degF]", "Cel", -40],
  [1500, "[degF]", "Cel", 815.5556],
  [50, "%", "1", 0.5],
  [1.5, "h", "min", 90],
  [2, "min", "ms", 120_000],
  [2, "d", "h", 48],
  [1, "[lb_av]/[cft_i]", "g/L", 16.018463],
  [38, "[lb_av]/[cft_i]", "kg/m3", 608.7016],
  [1.72, "kg/L", "g/L", 1720],
  [1, "g/cm3", "kg/m3", 1000],
  [1, "[lb_av]", "g", 453.59237],
  [10, "[mil_i]", "mm", 0.254],
  [1, "[in_i]", "mm", 25.4],
  [1, "mm[Hg]", "Pa", 133.322],
  [9, "g/dm2", "g/m2", 900],
  [0.5, "mg/mm", "g/m", 0.5],
  [0.55, "kg/s", "kg/h", 1980],
  [58.5, "mm/s", "m/s", 0.0585],
  [2400, "/min", "Hz", 40],
  [12, "mA", "A", 0.012],
  [0.18, "kN", "N", 180],
])("%d %s is, in %s, %d", (value, from, to, expected) => {
  const ours = convert(value, from, to);
  expect(Math.abs(ours! - expected)).toBeLessThanOrEqual(5e-7 * Math.max(1, Math.abs(expected)));
});

test.each([
  ["Cel", "bar"],
  ["%", "[g]"],
  ["g/kg", "%"],
  ["g", "[g]"],
  ["kg/s", "mm/s"],
  ["g/L", "g/dm2"],
  ["bar", "psi"],
  ["BAR", "bar"],
  ["toString", "bar"],
  ["bar", "__proto__"],
])("%s to %s is no conversion, so nothing is guessed", (from, to) => {
  expect(convert(1, from, to)).toBeUndefined();
  expect(convertDifference(1, from, to)).toBeUndefined();
});

test("a code to itself leaves the value untouched, to the last bit", () => {
  expect(convert(0.1 + 0.2, "Cel", "Cel")).toBe(0.1 + 0.2);
});

test("a difference of temperatures is in K alone", () => {
  expect(convertDifference(2, "K", "K")).toBe(2);
  expect(convertDifference(2, "Cel", "K")).toBeUndefined();
  expect(convertDifference(2, "[degF]", "K")).toBeUndefined();
  expect(convertDifference(90.1, "kPa", "bar")).toBe(0.901);
});

test.each([Number.NaN, Number.POSITIVE_INFINITY, 1e305])("%d bar is no number of Pa", (value) => {
  expect(convert(value, "bar", "Pa")).toBeUndefined();
});

test("every quantity lists units of its own dimension", () => {
  for (const [quantity, units] of Object.entries(unitsOfQuantity)) {
    expect(units.length, quantity).toBeGreaterThan(1);
    expect(new Set(units.map(dimensionOf)).size, quantity).toBe(1);
  }
  expect(unitsOfQuantity["steam-pressure"]).toEqual(["Pa", "hPa", "mbar", "kPa", "bar", "MPa", "[psi]", "mm[Hg]"]);
});
