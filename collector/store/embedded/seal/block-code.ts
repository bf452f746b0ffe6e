import { constants, crc32, deflateRawSync, inflateRawSync } from "node:zlib";
import { codeTimes, lowBytes, readTimes } from "./time-code.ts";
import { codeValues, readValues } from "./value-code.ts";
import { ByteReader, ByteWriter } from "./varints.ts";

/** Readings of one series in time order, as the open table holds them. */
export interface BlockRows {
  readonly times: readonly number[];
  /** Null where the reading had no value. */
  readonly values: readonly (number | null)[];
  /** As in the column `mark`. */
  readonly marks: readonly number[];
}

const VERSION = 2;
/** Without low bits of times. */
const FIRST_VERSION = 1;
const CRC_BYTES = 4;
/** Set in a run's mark when its readings have no value. */
const NO_VALUE = 8;

/**
 * A sealed block: version, forms, count, runs of marks, times, values, and a checksum over all of it. What comes back
 * is what went in, bit for bit, minus zero and infinities included; a value that is no number is no value.
 */
export function encodeBlock({ times, values, marks }: BlockRows): Buffer {
  const n = times.length;
  if (n === 0) throw new RangeError("a block needs one reading or more");
  const time = codeTimes(times);
  const value = codeValues(presentValues(values));

  const out = new ByteWriter();
  out.byte(VERSION);
  out.byte(time.form + 4 * value.form + 16 * value.decimals);
  out.varint(n);
  out.signed(time.first);
  out.varint(time.step);
  writeRuns(out, values, marks);
  writePacked(out, time.bytes);
  out.byte(time.lowBits);
  out.append(time.low);
  writePacked(out, value.bytes);
  const whole = Buffer.alloc(out.length + CRC_BYTES);
  whole.set(out.view());
  whole.writeUInt32LE(crc32(out.view()), out.length);
  return whole;
}

/** The readings of a block. A RangeError says that the bytes are damaged or of a later version. */
export function decodeBlock(bytes: Uint8Array): BlockRows {
  const buffer = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const end = buffer.length - CRC_BYTES;
  if (end < 1 || crc32(buffer.subarray(0, end)) !== buffer.readUInt32LE(end)) {
    throw new RangeError("a block's checksum is wrong");
  }
  const reader = new ByteReader(buffer.subarray(0, end));
  const version = reader.byte();
  if (version !== VERSION && version !== FIRST_VERSION) {
    throw new RangeError(`a block has version ${version}, known are ${FIRST_VERSION} and ${VERSION}`);
  }
  const forms = reader.byte();
  const n = reader.varint();
  const first = reader.signed();
  const step = reader.varint();
  const { marks, missing, count } = readRuns(reader, n);
  const bytesOfTimes = readPacked(reader);
  const lowBits = version === FIRST_VERSION ? 0 : reader.byte();
  const low = reader.take(lowBytes(n, lowBits));
  const times = readTimes({ form: forms % 4, first, step, lowBits, low, bytes: bytesOfTimes }, n);
  const numbers = readValues(Math.floor(forms / 4) % 4, forms >> 4, readPacked(reader), count);
  return { times, values: withoutThese(numbers, missing, n), marks };
}

interface Runs {
  readonly marks: number[];
  readonly missing: readonly (readonly [from: number, to: number])[];
  /** Readings that have a value. */
  readonly count: number;
}

function presentValues(values: readonly (number | null)[]): Float64Array {
  const present = new Float64Array(values.length);
  let count = 0;
  for (const value of values) if (value !== null) present[count++] = value;
  return present.subarray(0, count);
}

function writeRuns(out: ByteWriter, values: readonly (number | null)[], marks: readonly number[]): void {
  const runs: { mark: number; length: number }[] = [];
  let last = { mark: -1, length: 0 };
  for (let i = 0; i < marks.length; i += 1) {
    const mark = values[i] === null ? marks[i]! + NO_VALUE : marks[i]!;
    if (mark === last.mark) last.length += 1;
    else {
      last = { mark, length: 1 };
      runs.push(last);
    }
  }
  out.varint(runs.length);
  for (const { mark, length } of runs) {
    out.byte(mark);
    out.varint(length);
  }
}

/** Marks, and from where to where there are no values: mostly nowhere. */
function readRuns(reader: ByteReader, n: number): Runs {
  const marks = new Array<number>(n);
  const missing: (readonly [from: number, to: number])[] = [];
  let [at, count] = [0, 0];
  for (let runs = reader.varint(); runs > 0; runs -= 1) {
    const mark = reader.byte();
    const length = reader.varint();
    if (at + length > n) throw new RangeError("a block has more marks than readings");
    marks.fill(mark % NO_VALUE, at, at + length);
    if (mark < NO_VALUE) count += length;
    else missing.push([at, at + length]);
    at += length;
  }
  if (at !== n) throw new RangeError(`a block has ${at} marks for ${n} readings`);
  return { marks, missing, count };
}

function withoutThese(numbers: Float64Array, missing: Runs["missing"], n: number): (number | null)[] {
  const values = new Array<number | null>(n);
  let [next, at] = [0, 0];
  for (const [from, to] of [...missing, [n, n] as const]) {
    while (at < from) values[at++] = numbers[next++]!;
    while (at < to) values[at++] = null;
  }
  return values;
}

/** Length before and after packing. Run lengths alone do for differences; searching for longer matches gains nothing. */
function writePacked(out: ByteWriter, bytes: Uint8Array): void {
  out.varint(bytes.length);
  if (bytes.length === 0) return;
  const packed = deflateRawSync(bytes, { strategy: constants.Z_RLE, level: 6 });
  out.varint(packed.length);
  out.append(packed);
}

function readPacked(reader: ByteReader): Uint8Array {
  const length = reader.varint();
  if (length === 0) return new Uint8Array(0);
  const bytes = inflateRawSync(reader.take(reader.varint()), { maxOutputLength: length });
  if (bytes.length !== length) throw new RangeError(`a block unpacks to ${bytes.length} bytes, expected ${length}`);
  return bytes;
}
