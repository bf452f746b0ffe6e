/** Largest whole number that a zigzag varint holds exactly. */
export const LARGEST_WHOLE = 2 ** 51;

/** Small numbers of either sign become small ones: 0, -1, 1, -2 are 0, 1, 2, 3. */
export function zigzag(value: number): number {
  return value < 0 ? -2 * value - 1 : 2 * value;
}

/** The number of which it was made; shifts work on 32 bits only. */
export function fromZigzag(value: number): number {
  if (value < 2 ** 31) return (value >>> 1) ^ -(value & 1);
  return value % 2 === 0 ? value / 2 : -(value + 1) / 2;
}

/** Bytes that grow. Whole numbers go in as base-128 varints, seven bits a byte, the low ones first. */
export class VarintWriter {
  #bytes = Buffer.allocUnsafe(1024);
  length = 0;

  byte(value: number): void {
    this.#reserve(1);
    this.#bytes[this.length++] = value;
  }

  /** A whole number from 0 to 2^53 - 1. */
  varint(value: number): void {
    this.#reserve(8);
    let rest = value;
    // Shifts work on 32 bits only; what is larger is divided.
    while (rest >= 2 ** 31) {
      this.#bytes[this.length++] = (rest % 128) | 128;
      rest = Math.floor(rest / 128);
    }
    while (rest >= 128) {
      this.#bytes[this.length++] = (rest & 127) | 128;
      rest >>>= 7;
    }
    this.#bytes[this.length++] = rest;
  }

  /** A whole number of either sign, not beyond `LARGEST_WHOLE`: small ones of either sign stay short. */
  signed(value: number): void {
    this.varint(zigzag(value));
  }

  append(bytes: Uint8Array): void {
    this.#reserve(bytes.length);
    this.#bytes.set(bytes, this.length);
    this.length += bytes.length;
  }

  /** What was written so far; changes with the next write. */
  view(): Buffer {
    return this.#bytes.subarray(0, this.length);
  }

  #reserve(more: number): void {
    if (this.length + more <= this.#bytes.length) return;
    const larger = Buffer.allocUnsafe(2 * (this.length + more));
    larger.set(this.view());
    this.#bytes = larger;
  }
}

/** Reads what `VarintWriter` wrote. Running past the end is a RangeError: the bytes are not what they should be. */
export class VarintReader {
  readonly #bytes: Uint8Array;
  #at = 0;

  constructor(bytes: Uint8Array) {
    this.#bytes = bytes;
  }

  byte(): number {
    const value = this.#bytes[this.#at++];
    if (value === undefined) throw new RangeError("a block ends too early");
    return value;
  }

  varint(): number {
    // Most are this short.
    const first = this.#bytes[this.#at];
    if (first !== undefined && first < 128) {
      this.#at += 1;
      return first;
    }
    let value = 0;
    let scale = 1;
    for (let i = 0; i < 8; i += 1) {
      const byte = this.byte();
      value += (byte & 127) * scale;
      if (byte < 128) return value;
      scale *= 128;
    }
    throw new RangeError("a block holds a number that is too long");
  }

  signed(): number {
    return fromZigzag(this.varint());
  }

  take(length: number): Uint8Array {
    if (length > this.#bytes.length - this.#at) throw new RangeError("a block ends too early");
    this.#at += length;
    return this.#bytes.subarray(this.#at - length, this.#at);
  }
}
