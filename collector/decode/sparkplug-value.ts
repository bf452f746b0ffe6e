import type { Varint } from "./protobuf.ts";
import type { WireValue } from "./sparkplug-payload.ts";

/** Datatypes that hold one number (Sparkplug 3.0, 6.4.16): how many bits, and whether with a sign. */
const integers: Readonly<Record<number, { readonly bits: 8 | 16 | 32 | 64; readonly signed: boolean }>> = {
  1: { bits: 8, signed: true },
  2: { bits: 16, signed: true },
  3: { bits: 32, signed: true },
  4: { bits: 64, signed: true },
  5: { bits: 8, signed: false },
  6: { bits: 16, signed: false },
  7: { bits: 32, signed: false },
  8: { bits: 64, signed: false },
};
const FLOAT = 9;
const DOUBLE = 10;
const BOOLEAN = 11;

/** The number or truth that a value means as the datatype of its birth, or undefined where it is none of that type. */
export function valueAs(value: WireValue, datatype: number): number | boolean | undefined {
  const integer = Object.hasOwn(integers, datatype) ? integers[datatype] : undefined;
  if (integer !== undefined) return value.as === "integer" ? integerOf(value.bits, integer) : undefined;
  if (datatype === FLOAT || datatype === DOUBLE) return value.as === "number" ? value.number : undefined;
  if (datatype === BOOLEAN) return value.as === "boolean" ? value.boolean : undefined;
  return undefined;
}

/**
 * Signed integers travel in unsigned fields, cut to their own width or to 32 bits: -7 as Int8 comes as 249 or as
 * 4294967289. What does not fit the width, or a double exactly, is no value.
 */
function integerOf({ low, high }: Varint, { bits, signed }: { bits: number; signed: boolean }): number | undefined {
  if (bits === 64) {
    const upper = signed && high >= 2 ** 31 ? high - 2 ** 32 : high;
    const whole = upper * 2 ** 32 + low;
    return Number.isSafeInteger(whole) ? whole : undefined;
  }
  // Beyond 32 bits nothing may stand but the sign.
  if (high !== 0 && !(signed && high === 0xffff_ffff && low >= 2 ** 31)) return undefined;
  if (!signed) return low < 2 ** bits ? low : undefined;
  const least = -(2 ** (bits - 1));
  const whole = low | 0;
  if (whole >= least && whole < -least) return whole;
  return bits < 32 && low < 2 ** bits ? low - 2 ** bits : undefined;
}
