import type { Rejection } from "./decoder.ts";
import type { TimeForm } from "./history.ts";
import { instantMs } from "./instant.ts";
import { reject } from "./read-fields.ts";

const number = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/;
const whole = /^-?\d+$/;
const seconds = /^-?\d+(?:\.\d+)?$/;

/** Digits of a whole number that stand below the millisecond. */
const below: Readonly<Record<Exclude<TimeForm, "iso" | "s">, number>> = { ms: 0, us: 3, ns: 6 };

/** Milliseconds since 1970; what is finer is cut off. Nanoseconds are cut as text: as a number they would be rounded. */
export function historyTime(text: string, form: TimeForm): number | undefined {
  if (form === "iso") return instantMs(text);
  if (form === "s") return seconds.test(text) ? Math.floor(Number(text) * 1000 + 1e-4) : undefined;
  if (!whole.test(text) || text.length > 24) return undefined;
  const cut = below[form];
  if (cut === 0) return Number(text);
  // Only what came before 1970 is rounded the other way, and that is refused as too old anyway.
  return Number(text.slice(0, -cut) || "0");
}

/** A number with a decimal point, or undefined; what is too large for a number is infinite and refused later. */
export function historyNumber(text: string): number | undefined {
  return number.test(text) ? Number(text) : undefined;
}

export function notATime(text: string, form: TimeForm, place: string, rejections: Rejection[]): undefined {
  const expected =
    form === "iso" ? "ISO 8601 with an offset, such as 2026-11-25T08:05:12.345Z" : `a time in ${form} since 1970`;
  return reject(rejections, "not-a-time", place, `expected ${expected}, found ${text || "nothing"}`);
}
