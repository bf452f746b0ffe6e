/** The sign between the whole number and its fraction. */
export type DecimalMark = "point" | "comma";

const powersOfTen: Float64Array = Float64Array.from({ length: 23 }, (_, exponent) => Number(`1e${exponent}`));

/**
 * Numbers as people write them into tables: sign, digits with one decimal mark, power of ten. Correctly rounded, like
 * JavaScript's own, without making a text of each: up to fifteen digits and powers of ten up to 22 are exact in a
 * double, so one multiplication or division rounds once.
 */
export class Decimals {
  /** The mark that was asked for, or the first that was seen. */
  mark: DecimalMark | null;
  /** Numbers that were read with a decimal comma. */
  commas = 0;
  /** Asked for by the reader: only then the other mark may group thousands. */
  private readonly asked: boolean;

  constructor(mark: DecimalMark | null) {
    this.mark = mark;
    this.asked = mark !== null;
  }

  /** NaN for an empty field, Infinity for what is no finite number. */
  read(bytes: Buffer, start: number, end: number): number {
    let at = start;
    let last = end;
    while (at < last && isSpace(bytes[at]!)) at += 1;
    while (last > at && isSpace(bytes[last - 1]!)) last -= 1;
    if (at === last) return Number.NaN;
    const first = at;
    const negative = bytes[at] === 0x2d;
    if (negative || bytes[at] === 0x2b) at += 1;
    let digits = 0;
    let significant = 0;
    let mantissa = 0;
    let fraction = -1;
    let seen: DecimalMark | null = null;
    for (; at < last; at++) {
      const byte = bytes[at]!;
      if (byte >= 0x30 && byte <= 0x39) {
        digits += 1;
        if (fraction >= 0) fraction += 1;
        if (significant > 0 || byte !== 0x30) significant += 1;
        if (significant <= 15) mantissa = mantissa * 10 + (byte - 0x30);
      } else if ((byte === 0x2e || byte === 0x2c) && fraction < 0) {
        seen = byte === 0x2e ? "point" : "comma";
        fraction = 0;
      } else break;
    }
    if (digits === 0) return Number.POSITIVE_INFINITY;
    let exponent = -Math.max(0, fraction);
    if (at < last) {
      const power = exponentOf(bytes, at, last);
      if (Number.isNaN(power)) return this.grouped(bytes, first, last);
      exponent += power;
    }
    if (seen !== null && seen !== this.mark) {
      if (this.mark !== null) return this.grouped(bytes, first, last);
      this.mark = seen;
    }
    if (seen === "comma") this.commas += 1;
    let size: number;
    if (significant > 15 || exponent > 22 || exponent < -22) {
      size = Math.abs(Number(bytes.toString("latin1", first, last).replace(",", ".")));
    } else size = exponent < 0 ? mantissa / powersOfTen[-exponent]! : mantissa * powersOfTen[exponent]!;
    return negative && size !== 0 ? -size : size;
  }

  /** Thousands in groups of three, only where the reader has said which mark is the decimal one. */
  private grouped(bytes: Buffer, start: number, end: number): number {
    const text = bytes.toString("latin1", start, end);
    const [group, mark] = this.mark === "comma" ? [".", ","] : [",", "."];
    const pattern = this.mark === "comma" ? /^[+-]?\d{1,3}(\.\d{3})+(,\d+)?$/ : /^[+-]?\d{1,3}(,\d{3})+(\.\d+)?$/;
    if (!this.asked || !pattern.test(text)) return Number.POSITIVE_INFINITY;
    return Number(text.replaceAll(group, "").replace(mark, "."));
  }
}

function isSpace(byte: number): boolean {
  return byte === 0x20 || byte === 0x09;
}

/** The power of ten written from `e` on; NaN when something else stands there. */
function exponentOf(bytes: Buffer, start: number, end: number): number {
  let at = start;
  if (bytes[at] !== 0x65 && bytes[at] !== 0x45) return Number.NaN;
  at += 1;
  const negative = bytes[at] === 0x2d;
  if (negative || bytes[at] === 0x2b) at += 1;
  if (at >= end) return Number.NaN;
  let power = 0;
  for (; at < end; at++) {
    const byte = bytes[at]!;
    if (byte < 0x30 || byte > 0x39) return Number.NaN;
    power = Math.min(10_000, power * 10 + (byte - 0x30));
  }
  return negative ? -power : power;
}
