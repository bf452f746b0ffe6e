import { constants, crc32, deflateRawSync, inflateRawSync } from "node:zlib";
import { type CodedTimes, codeTimes, lowBytes, readTimes, timesAt } from "./time-code.ts";
import { codeValues, readValues } from "./value-code.ts";
import { VarintReader, VarintWriter } from "./varints.ts";

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

  const out = new VarintWriter();
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

/** A block as it is summed up: each time is looked up when asked for, and nothing is made of marks. */
export interface BlockView {
  readonly n: number;
  time(i: number): number;
  readonly values: Float64Array | readonly (number | null)[];
}

/** The readings of a block. A RangeError says that the bytes are damaged or of a later version. */
export function decodeBlock(bytes: Uint8Array): BlockRows {
  const { n, times, runs, numbers } = openBlock(bytes);
  const marks = new Array<number>(n);
  let at = 0;
  for (const { mark, length } of runs) {
    marks.fill(mark % NO_VALUE, at, at + length);
    at += length;
  }
  return { times: readTimes(times, n), values: withMissing(numbers, runs, n), marks };
}

/** As `decodeBlock`, with the same errors. */
export function viewBlock(bytes: Uint8Array): BlockView {
  const { n, times, runs, numbers } = openBlock(bytes);
  return { n, time: timesAt(times, n), values: numbers.length === n ? numbers : withMissing(numbers, runs, n) };
}

interface Run {
  readonly mark: number;
  readonly length: number;
}

function openBlock(bytes: Uint8Array): {
  readonly n: number;
  readonly times: CodedTimes;
  readonly runs: readonly Run[];
  /** Of the readings that have one. */
  readonly numbers: Float64Array;
} {
  const buffer = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const end = buffer.length - CRC_BYTES;
  if (end < 1 || crc32(buffer.subarray(0, end)) !== buffer.readUInt32LE(end)) {
    throw new RangeError("a block's checksum is wrong");
  }
  const reader = new VarintReader(buffer.subarray(0, end));
  const version = reader.byte();
  if (version !== VERSION && version !== FIRST_VERSION) {
    throw new RangeError(`a block has version ${version}, known are ${FIRST_VERSION} and ${VERSION}`);
  }
  const forms = reader.byte();
  const n = reader.varint();
  const first = reader.signed();
  const step = reader.varint();
  const runs = readRuns(reader, n);
  const bytesOfTimes = readPacked(reader);
  const lowBits = version === FIRST_VERSION ? 0 : reader.byte();
  const low = reader.take(lowBytes(n, lowBits));
  const times = { form: forms % 4, first, step, lowBits, low, bytes: bytesOfTimes };
  const count = runs.reduce((sum, { mark, length }) => (mark < NO_VALUE ? sum + length : sum), 0);
  return { n, times, runs, numbers: readValues(Math.floor(forms / 4) % 4, forms >> 4, readPacked(reader), count) };
}

function presentValues(values: readonly (number | null)[]): Float64Array {
  const present = new Float64Array(values.length);
  let count = 0;
  for (const value of values) if (value !== null) present[count++] = value;
  return present.subarray(0, count);
}

function writeRuns(out: VarintWriter, values: readonly (number | null)[], marks: readonly number[]): void {
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

function readRuns(reader: VarintReader, n: number): readonly Run[] {
  const runs: Run[] = [];
  let at = 0;
  for (let left = reader.varint(); left > 0; left -= 1) {
    const run = { mark: reader.byte(), length: reader.varint() };
    at += run.length;
    if (at > n) throw new RangeError("a block has more marks than readings");
    runs.push(run);
  }
  if (at !== n) throw new RangeError(`a block has ${at} marks for ${n} readings`);
  return runs;
}

/** Null in each run that has no value. */
function withMissing(numbers: Float64Array, runs: readonly Run[], n: number): (number | null)[] {
  const values = new Array<number | null>(n);
  let [next, at] = [0, 0];
  for (const { mark, length } of runs) {
    for (const end = at + length; at < end; at += 1) values[at] = mark < NO_VALUE ? numbers[next++]! : null;
  }
  return values;
}

/** Length before and after packing. Run lengths alone do for differences; searching for longer matches gains nothing. */
function writePacked(out: VarintWriter, bytes: Uint8Array): void {
  out.varint(bytes.length);
  if (bytes.length === 0) return;
  const packed = deflateRawSync(bytes, { strategy: constants.Z_RLE, level: 6 });
  out.varint(packed.length);
  out.append(packed);
}

function readPacked(reader: VarintReader): Uint8Array {
  const length = reader.varint();
  if (length === 0) return new Uint8Array(0);
  const bytes = inflateRawSync(reader.take(reader.varint()), { maxOutputLength: length });
  if (bytes.length !== length) throw new RangeError(`a block unpacks to ${bytes.length} bytes, expected ${length}`);
  return bytes;
}
