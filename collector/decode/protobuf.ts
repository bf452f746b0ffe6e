/**
 * Reads Protocol Buffers as far as one fixed set of messages needs (protobuf.dev, "Encoding"). Nothing throws: what is
 * no message of the format sets `wrong`, and reading then ends. Groups are long gone from the format and are refused.
 */
export interface WireReader {
  /** The next field, or null at the end or where the bytes are wrong. Its value must be read or passed over next. */
  next(): { readonly field: number; readonly wire: number } | null;
  /** Of a varint. */
  varint(): Varint;
  float(): number;
  double(): number;
  /** Of a length-delimited field: a view, not a copy. */
  bytes(): Uint8Array;
  passOver(wire: number): void;
  /** Why the bytes are no message, and at which of them; null while all is well. */
  wrong(): string | null;
}

/** 64 bits as two unsigned halves: JavaScript's numbers hold 53. */
export interface Varint {
  readonly low: number;
  readonly high: number;
}

export const wireType = { varint: 0, fixed64: 1, bytes: 2, fixed32: 5 } as const;
const empty = new Uint8Array(0);
const nothing: Varint = { low: 0, high: 0 };

export function wireReader(bytes: Uint8Array): WireReader {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let at = 0;
  let wrong: string | null = null;

  const fail = (why: string): void => {
    wrong ??= `${why} at byte ${at}`;
    at = bytes.length;
  };
  /** Where `length` bytes from here begin, or null when there are not so many. */
  const take = (length: number): number | null => {
    if (length > bytes.length - at) {
      fail(`${length} bytes are announced and ${bytes.length - at} follow`);
      return null;
    }
    const from = at;
    at += length;
    return from;
  };
  const varint = (): Varint => {
    let low = 0;
    let high = 0;
    for (let shift = 0; shift < 70; shift += 7) {
      const byte = bytes[at];
      if (byte === undefined) break;
      at += 1;
      const bits = byte & 0x7f;
      if (shift < 28) low |= bits << shift;
      else if (shift === 28) {
        low |= bits << 28;
        high = bits >>> 4;
      } else if (shift < 63) high |= bits << (shift - 32);
      else high |= bits << 31;
      if (byte < 0x80) return { low: low >>> 0, high: high >>> 0 };
    }
    fail("a number does not end");
    return nothing;
  };
  const bytesOf = (): Uint8Array => {
    const { low, high } = varint();
    if (wrong !== null) return empty;
    const from = take(high === 0 ? low : Number.MAX_SAFE_INTEGER);
    return from === null ? empty : bytes.subarray(from, at);
  };

  return {
    next: () => {
      if (at >= bytes.length) return null;
      const { low, high } = varint();
      if (wrong !== null) return null;
      const wire = low & 7;
      const field = low >>> 3;
      if (high !== 0 || field === 0 || !(wire <= 2 || wire === 5)) {
        fail(`no field is numbered ${field} with wire type ${wire}`);
        return null;
      }
      return { field, wire };
    },
    varint,
    float: () => {
      const from = take(4);
      return from === null ? 0 : view.getFloat32(from, true);
    },
    double: () => {
      const from = take(8);
      return from === null ? 0 : view.getFloat64(from, true);
    },
    bytes: bytesOf,
    passOver: (wire) => {
      if (wire === wireType.varint) varint();
      else if (wire === wireType.fixed64) take(8);
      else if (wire === wireType.fixed32) take(4);
      else bytesOf();
    },
    wrong: () => wrong,
  };
}
