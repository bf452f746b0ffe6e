import { dimensionOfQuantity } from "./quantity.ts";

/** How a UCUM code relates to its dimension's base unit: base = (value + offset) * factor. */
interface UnitRow {
  readonly dimension: Dimension;
  readonly factor: number;
  readonly offset?: number;
}

export type Dimension =
  | "pressure"
  | "temperature"
  | "ratio"
  | "acceleration"
  | "time"
  | "humidity-ratio"
  | "mass"
  | "length"
  | "density"
  | "mass-on-area"
  | "mass-on-length"
  | "mass-flow"
  | "velocity"
  | "frequency"
  | "electric-current"
  | "force";

/** Pound-force over square inch: 0.45359237 kg, 9.80665 m/s2 and 0.0254 m are exact by definition. */
const psiInPa = (0.45359237 * 9.80665) / 0.0254 ** 2;
/** Pound over cubic foot of 0.3048 m: exact too. */
const pcfInKgM3 = 0.45359237 / 0.3048 ** 3;

/** Codes are case-sensitive. Gauge or absolute is no part of a unit: it stands beside the quantity. */
const rows: Readonly<Record<string, UnitRow>> = {
  Pa: { dimension: "pressure", factor: 1 },
  hPa: { dimension: "pressure", factor: 1e2 },
  mbar: { dimension: "pressure", factor: 1e2 },
  kPa: { dimension: "pressure", factor: 1e3 },
  bar: { dimension: "pressure", factor: 1e5 },
  MPa: { dimension: "pressure", factor: 1e6 },
  "[psi]": { dimension: "pressure", factor: psiInPa },
  "mm[Hg]": { dimension: "pressure", factor: 133.322 },
  K: { dimension: "temperature", factor: 1 },
  Cel: { dimension: "temperature", factor: 1, offset: 273.15 },
  "[degF]": { dimension: "temperature", factor: 5 / 9, offset: 459.67 },
  "1": { dimension: "ratio", factor: 1 },
  "%": { dimension: "ratio", factor: 1e-2 },
  "m/s2": { dimension: "acceleration", factor: 1 },
  "[g]": { dimension: "acceleration", factor: 9.80665 },
  ms: { dimension: "time", factor: 1e-3 },
  s: { dimension: "time", factor: 1 },
  min: { dimension: "time", factor: 60 },
  h: { dimension: "time", factor: 3600 },
  d: { dimension: "time", factor: 86_400 },
  "g/kg": { dimension: "humidity-ratio", factor: 1 },
  mg: { dimension: "mass", factor: 1e-6 },
  g: { dimension: "mass", factor: 1e-3 },
  kg: { dimension: "mass", factor: 1 },
  t: { dimension: "mass", factor: 1e3 },
  "[lb_av]": { dimension: "mass", factor: 0.45359237 },
  um: { dimension: "length", factor: 1e-6 },
  mm: { dimension: "length", factor: 1e-3 },
  m: { dimension: "length", factor: 1 },
  "[in_i]": { dimension: "length", factor: 0.0254 },
  "[mil_i]": { dimension: "length", factor: 2.54e-5 },
  "kg/m3": { dimension: "density", factor: 1 },
  "g/L": { dimension: "density", factor: 1 },
  "kg/L": { dimension: "density", factor: 1e3 },
  "g/cm3": { dimension: "density", factor: 1e3 },
  "[lb_av]/[cft_i]": { dimension: "density", factor: pcfInKgM3 },
  "g/dm2": { dimension: "mass-on-area", factor: 0.1 },
  "g/m2": { dimension: "mass-on-area", factor: 1e-3 },
  "mg/mm": { dimension: "mass-on-length", factor: 1e-3 },
  "g/m": { dimension: "mass-on-length", factor: 1e-3 },
  "kg/s": { dimension: "mass-flow", factor: 1 },
  "kg/h": { dimension: "mass-flow", factor: 1 / 3600 },
  "mm/s": { dimension: "velocity", factor: 1e-3 },
  "m/s": { dimension: "velocity", factor: 1 },
  Hz: { dimension: "frequency", factor: 1 },
  "/min": { dimension: "frequency", factor: 1 / 60 },
  mA: { dimension: "electric-current", factor: 1e-3 },
  A: { dimension: "electric-current", factor: 1 },
  N: { dimension: "force", factor: 1 },
  kN: { dimension: "force", factor: 1e3 },
};

/** UCUM codes that a measurement of each quantity may be sent or stored in. */
export const unitsOfQuantity: Readonly<Record<string, readonly string[]>> = Object.fromEntries(
  Object.entries(dimensionOfQuantity).map(([quantity, dimension]) => [quantity, codesOf(dimension)]),
);

function codesOf(dimension: Dimension): readonly string[] {
  return Object.keys(rows).filter((code) => rows[code]?.dimension === dimension);
}

/** What a UCUM code measures, or undefined for a code we do not know. */
export function dimensionOf(unit: string): Dimension | undefined {
  return row(unit)?.dimension;
}

/**
 * Converts a reading between UCUM codes: 101.325 kPa is 1.01325 bar, 20 Cel is 293.15 K.
 *
 * @shape   value: finite; both codes as written in UCUM, case included
 * @unit    `toUnit`; undefined where a code is unknown, the two are not of one dimension, or the result is not finite
 * @method  through the dimension's base unit; a code to itself gives the value untouched
 * @source  UCUM (ucum.org), tables of base, derived and customary units; NIST SP 811 appendix B for psi and degF
 * @checked tests/reference/spc/units/ucum.test.ts
 */
export function convert(value: number, fromUnit: string, toUnit: string): number | undefined {
  const from = row(fromUnit);
  const to = row(toUnit);
  if (from === undefined || to === undefined || from.dimension !== to.dimension) return undefined;
  if (fromUnit === toUnit) return finite(value);
  return finite(((value + (from.offset ?? 0)) * from.factor) / to.factor - (to.offset ?? 0));
}

/**
 * Converts a difference between two readings: no offset is added, so a difference of temperatures may be K alone.
 *
 * @shape   value: finite; both codes as written in UCUM, case included
 * @unit    `toUnit`; undefined as in `convert`, and for `Cel` and `[degF]`, which UCUM marks as special: no ratio scale
 * @method  through the dimension's base unit
 * @source  UCUM (ucum.org), special units on non-ratio scales
 * @checked tests/reference/spc/units/ucum.test.ts
 */
export function convertDifference(value: number, fromUnit: string, toUnit: string): number | undefined {
  const from = row(fromUnit);
  const to = row(toUnit);
  if (from === undefined || to === undefined || from.dimension !== to.dimension) return undefined;
  if (from.offset !== undefined || to.offset !== undefined) return undefined;
  return finite(fromUnit === toUnit ? value : (value * from.factor) / to.factor);
}

function row(unit: string): UnitRow | undefined {
  return Object.hasOwn(rows, unit) ? rows[unit] : undefined;
}

function finite(value: number): number | undefined {
  return Number.isFinite(value) ? value : undefined;
}
