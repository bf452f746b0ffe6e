import { shown } from "../physics/range.ts";

const units: Readonly<Record<string, string>> = { "1": "", Cel: "\u00b0C", "[g]": "g" };

/**
 * A number with its unit, as a sentence of evidence writes it.
 *
 * @unit   that of the value, a UCUM code written as people write it
 * @method four significant digits
 * @source derived here
 */
export function figure(value: number, unit: string): string {
  const word = units[unit] ?? unit;
  return word === "" ? shown(value) : `${shown(value)} ${word}`;
}

/**
 * A difference with its unit: that of temperatures is in kelvin.
 *
 * @unit   that of the value
 * @method as `figure`
 * @source derived here
 */
export function difference(value: number, unit: string): string {
  return figure(value, unit === "Cel" ? "K" : unit);
}

/**
 * A length of time in the largest unit that leaves at least one.
 *
 * @unit   ms in, words out
 * @method whole numbers from ten on, one digit below
 * @source derived here
 */
export function span(ms: number): string {
  const scale = [
    [86_400_000, "d"],
    [3_600_000, "h"],
    [60_000, "min"],
    [1_000, "s"],
  ] as const;
  const [unitMs, word] = scale.find(([least]) => ms >= least) ?? [1, "ms"];
  const count = ms / unitMs;
  return `${count >= 10 ? Math.round(count) : Math.round(count * 10) / 10} ${word}`;
}
