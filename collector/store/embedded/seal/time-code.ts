import { fromZigzag, VarintReader, VarintWriter, zigzag } from "./varints.ts";

/** How the times of a block are written. */
type TimeForm = 0 | 1 | 2;
const REGULAR: TimeForm = 0;
const STEPS: TimeForm = 1;
const LINE: TimeForm = 2;

export interface CodedTimes {
  /** A `TimeForm`, or what damage made of it. */
  readonly form: number;
  readonly first: number;
  readonly step: number;
  /** So many low bits of each number stand in `low` as they are. */
  readonly lowBits: number;
  readonly low: Uint8Array;
  /** What is above them, as varints, to be packed. */
  readonly bytes: Uint8Array;
}

/** Numbers from which it is judged how to write them all. */
const SAMPLE = 1024;
const MOST_LOW_BITS = 12;
const nothing = Buffer.alloc(0);

/**
 * Times of a block, ascending whole milliseconds: nothing when they are regular, else each step's difference from the
 * mean step or each time's offset from a straight line, whichever is likely to be shorter. A sender that jitters about
 * its schedule is short in the second, one that drifts in the first. Jitter is chance, which nothing compresses: its
 * low bits are written as they are, and only what is above them is packed.
 */
export function codeTimes(times: readonly number[]): CodedTimes {
  const first = times[0]!;
  const last = times.at(-1)!;
  const step = times.length > 1 ? Math.round((last - first) / (times.length - 1)) : 0;
  const count = times.length - 1;
  const steps = new Float64Array(count);
  const line = new Float64Array(count);
  let regular = true;
  for (let i = 1; i <= count; i += 1) {
    const offset = times[i]! - (first + i * step);
    if (offset !== 0) regular = false;
    line[i - 1] = zigzag(offset);
    steps[i - 1] = zigzag(times[i]! - times[i - 1]! - step);
  }
  if (regular) return { form: REGULAR, first, step, lowBits: 0, low: nothing, bytes: nothing };
  const [ofSteps, ofLine] = [shortest(steps), shortest(line)];
  return ofSteps.cost <= ofLine.cost
    ? { form: STEPS, first, step, ...split(steps, ofSteps.lowBits) }
    : { form: LINE, first, step, ...split(line, ofLine.lowBits) };
}

/** As many numbers as there are times after the first. */
export function lowBytes(n: number, lowBits: number): number {
  return Math.ceil(((n - 1) * lowBits) / 8);
}

export function readTimes(coded: CodedTimes, n: number): number[] {
  check(coded);
  const { form, first, step, lowBits, low, bytes } = coded;
  const times = new Array<number>(n);
  const reader = new VarintReader(bytes);
  const scale = 2 ** lowBits;
  let [held, have, at] = [0, 0, 0];
  times[0] = first;
  if (form === REGULAR) {
    for (let i = 1; i < n; i += 1) times[i] = first + i * step;
    return times;
  }
  for (let i = 1; i < n; i += 1) {
    for (; have < lowBits; have += 8) held |= (low[at++] ?? 0) << have;
    const number = reader.varint() * scale + (held & (scale - 1));
    held >>>= lowBits;
    have -= lowBits;
    const offset = fromZigzag(number);
    times[i] = form === STEPS ? times[i - 1]! + step + offset : first + i * step + offset;
  }
  return times;
}

/**
 * Each time as it is asked for. Off a line by little it is found where it stands, for as many bytes as numbers means one
 * byte each. All others are read first.
 */
export function timesAt(coded: CodedTimes, n: number): (i: number) => number {
  check(coded);
  const { form, first, step, lowBits, low, bytes } = coded;
  if (form === REGULAR) return (i) => first + i * step;
  if (form !== LINE || bytes.length !== n - 1) {
    const times = readTimes(coded, n);
    return (i) => times[i]!;
  }
  const mask = 2 ** lowBits - 1;
  return (i) => {
    if (i === 0) return first;
    const bit = (i - 1) * lowBits;
    const at = bit >>> 3;
    const some = (low[at] ?? 0) | ((low[at + 1] ?? 0) << 8) | ((low[at + 2] ?? 0) << 16);
    return first + i * step + fromZigzag((bytes[i - 1]! << lowBits) | ((some >>> (bit & 7)) & mask));
  };
}

function check({ form, lowBits }: CodedTimes): void {
  if (form !== REGULAR && form !== STEPS && form !== LINE) {
    throw new RangeError(`a block has times of an unknown form, ${form}`);
  }
  if (lowBits > MOST_LOW_BITS) throw new RangeError(`a block has times with ${lowBits} low bits`);
}

/** Low bits with which the numbers are likely to be shortest, and bits a number then. */
function shortest(numbers: Float64Array): { readonly lowBits: number; readonly cost: number } {
  let best = { lowBits: 0, cost: Number.POSITIVE_INFINITY };
  for (let lowBits = 0; lowBits <= MOST_LOW_BITS; lowBits += 1) {
    const cost = lowBits + entropy(numbers, 2 ** lowBits);
    if (cost < best.cost) best = { lowBits, cost };
  }
  return best;
}

/** Bits a number that the varint bytes of `numbers / scale` take at the least when each is coded by how frequent it is. */
function entropy(numbers: Float64Array, scale: number): number {
  const counts = new Uint32Array(256);
  const sample = Math.min(numbers.length, SAMPLE);
  let total = 0;
  for (let i = 0; i < sample; i += 1) {
    let rest = Math.floor(numbers[i]! / scale);
    for (; rest >= 128; rest = Math.floor(rest / 128)) {
      counts[(rest % 128) + 128]! += 1;
      total += 1;
    }
    counts[rest]! += 1;
    total += 1;
  }
  let bits = 0;
  let kinds = 0;
  for (const count of counts) {
    if (count === 0) continue;
    kinds += 1;
    bits += count * Math.log2(total / count);
  }
  // Each kind of byte costs about four bits in the table of codes, and no byte costs less than a bit.
  return (Math.max(bits, kinds > 1 ? total : 0) + 4 * kinds) / sample;
}

function split(numbers: Float64Array, lowBits: number): Pick<CodedTimes, "lowBits" | "low" | "bytes"> {
  const scale = 2 ** lowBits;
  const above = new VarintWriter();
  const low = Buffer.alloc(lowBytes(numbers.length + 1, lowBits));
  let [held, have, at] = [0, 0, 0];
  for (const number of numbers) {
    above.varint(Math.floor(number / scale));
    held |= (number % scale) << have;
    for (have += lowBits; have >= 8; have -= 8) {
      low[at++] = held & 255;
      held >>>= 8;
    }
  }
  if (have > 0) low[at] = held;
  return { lowBits, low, bytes: above.view() };
}
