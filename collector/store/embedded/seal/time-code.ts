import { ByteReader, ByteWriter } from "./varints.ts";

/** How the times of a block are written. */
type TimeForm = 0 | 1 | 2;
const REGULAR: TimeForm = 0;
const STEPS: TimeForm = 1;
const LINE: TimeForm = 2;

export interface CodedTimes {
  readonly form: TimeForm;
  readonly first: number;
  readonly step: number;
  readonly bytes: Buffer;
}

/**
 * Times of a block, ascending whole milliseconds: nothing when they are regular, else the shorter of each step's
 * difference from the mean step and each time's offset from a straight line. A sender that jitters about its schedule
 * is short in the second, one that drifts in the first.
 */
export function codeTimes(times: readonly number[]): CodedTimes {
  const first = times[0]!;
  const last = times.at(-1)!;
  const step = times.length > 1 ? Math.round((last - first) / (times.length - 1)) : 0;
  const steps = new ByteWriter();
  const line = new ByteWriter();
  let regular = true;
  for (let i = 1; i < times.length; i += 1) {
    const offset = times[i]! - (first + i * step);
    if (offset !== 0) regular = false;
    line.signed(offset);
    steps.signed(times[i]! - times[i - 1]! - step);
  }
  if (regular) return { form: REGULAR, first, step, bytes: Buffer.alloc(0) };
  return steps.length <= line.length
    ? { form: STEPS, first, step, bytes: steps.view() }
    : { form: LINE, first, step, bytes: line.view() };
}

export function readTimes(form: number, first: number, step: number, bytes: Uint8Array, n: number): number[] {
  const times = new Array<number>(n);
  const reader = new ByteReader(bytes);
  times[0] = first;
  for (let i = 1; i < n; i += 1) {
    if (form === REGULAR) times[i] = first + i * step;
    else if (form === STEPS) times[i] = times[i - 1]! + step + reader.signed();
    else if (form === LINE) times[i] = first + i * step + reader.signed();
    else throw new RangeError(`a block has times of an unknown form, ${form}`);
  }
  return times;
}
