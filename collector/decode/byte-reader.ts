const MINUS = 45;
const POINT = 46;
const ZERO = 48;
const COLON = 58;
const T = 84;
const Z = 90;
const TIME_OF_DAY = "T08:05:12.345Z".length;
/** Digits of a number that is exact in a double, and so is its quotient by a power of ten that is exact as well. */
const MOST_DIGITS = 15;
const powers = Array.from({ length: MOST_DIGITS + 1 }, (_, k) => 10 ** k);

/** Reads bytes from left to right. It knows no end: whoever reads asks afterwards where it stands. */
export class ByteReader {
  at = 0;
  #bytes: Uint8Array = new Uint8Array(0);
  /** What the last digits came to. */
  #sum = 0;

  begin(bytes: Uint8Array, from: number): void {
    this.#bytes = bytes;
    this.at = from;
  }

  /** The byte at the place, which is not passed; undefined behind all of them. */
  next(): number | undefined {
    return this.#bytes[this.at];
  }

  /** Passes these bytes, or none. */
  takes(words: Uint8Array): boolean {
    const { at } = this;
    const bytes = this.#bytes;
    for (let i = 0; i < words.length; i += 1) if (bytes[at + i] !== words[i]) return false;
    this.at = at + words.length;
    return true;
  }

  /** The bytes up to a mark, which is not passed, as a number that is mostly theirs alone. */
  hashTo(mark: number): number {
    const bytes = this.#bytes;
    let hash = 0;
    let at = this.at;
    for (let byte = bytes[at]; byte !== mark && byte !== undefined; byte = bytes[at]) {
      hash = (Math.imul(hash, 31) + byte) | 0;
      at += 1;
    }
    this.at = at;
    return hash;
  }

  /** Bytes as text, each a character, which is right for ASCII alone. */
  text(from: number, to: number): string {
    const { buffer, byteOffset } = this.#bytes.subarray(from, to);
    return Buffer.from(buffer, byteOffset, to - from).toString("latin1");
  }

  /** Passes `T08:05:12.345Z`; gives the milliseconds since midnight, or NaN for another form. */
  timeOfDay(): number {
    const bytes = this.#bytes;
    const { at } = this;
    const hour = this.#twoDigits(at + 1);
    const minute = this.#twoDigits(at + 4);
    const second = this.#twoDigits(at + 7);
    const last = bytes[at + 12]! - ZERO;
    const ms = 10 * this.#twoDigits(at + 10) + last;
    const marked =
      bytes[at] === T &&
      bytes[at + 3] === COLON &&
      bytes[at + 6] === COLON &&
      bytes[at + 9] === POINT &&
      bytes[at + 13] === Z;
    this.at = at + TIME_OF_DAY;
    // NaN fails each of these.
    if (!(marked && hour <= 23 && minute <= 59 && second <= 59 && last >= 0 && last <= 9)) return Number.NaN;
    return hour * 3_600_000 + minute * 60_000 + second * 1000 + ms;
  }

  /** NaN for none, one too long to be exact, and one that JSON would not take. */
  wholeNumber(): number {
    const first = this.next();
    this.#sum = 0;
    const count = this.#digits();
    return count === 0 || count > MOST_DIGITS || (count > 1 && first === ZERO) ? Number.NaN : this.#sum;
  }

  /** A number of JSON without an exponent, or NaN. */
  decimal(): number {
    const negative = this.next() === MINUS;
    if (negative) this.at += 1;
    const first = this.next();
    this.#sum = 0;
    const before = this.#digits();
    if (before === 0 || (before > 1 && first === ZERO)) return Number.NaN;
    let after = 0;
    if (this.next() === POINT) {
      this.at += 1;
      after = this.#digits();
      if (after === 0) return Number.NaN;
    }
    if (before + after > MOST_DIGITS) return Number.NaN;
    const value = this.#sum / powers[after]!;
    return negative ? -value : value;
  }

  /** Appends digits to the sum; gives how many there were. */
  #digits(): number {
    const bytes = this.#bytes;
    const from = this.at;
    let sum = this.#sum;
    let at = from;
    for (let code = bytes[at]! - ZERO; code >= 0 && code <= 9; code = bytes[at]! - ZERO) {
      sum = sum * 10 + code;
      at += 1;
    }
    this.#sum = sum;
    this.at = at;
    return at - from;
  }

  #twoDigits(at: number): number {
    const tens = this.#bytes[at]! - ZERO;
    const ones = this.#bytes[at + 1]! - ZERO;
    return tens >= 0 && tens <= 9 && ones >= 0 && ones <= 9 ? 10 * tens + ones : Number.NaN;
  }
}
