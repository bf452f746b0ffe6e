import { type Outcome, ok, refuse } from "../model/outcome.ts";

/** What 4 and 20 mA stand for. */
export interface LoopSpan {
  readonly at4: number;
  readonly at20: number;
}

/** Borders in mA: faults at and beyond the outer two, a value between the inner two. */
const fault = { low: 3.6, high: 21 };
const measured = { low: 3.8, high: 20.5 };

/**
 * Reads the current of a 4 to 20 mA loop: a value, or what is wrong; a fault is never a number.
 *
 * @shape   milliamp: what the input card measures; span: two different values
 * @unit    that of the span
 * @method  linear between 4 and 20 mA and on to what a transmitter may still send, above 3.8 and below 20.5 mA
 * @refuses `wire-break` at 3.6 mA or below: an open loop, or a transmitter that says so; `short-circuit` at 21 mA or
 *          above: a shorted loop, or a transmitter that says so; `below-range` from there to 3.8 mA and `above-range`
 *          from 20.5 mA, where a transmitter clips and its current is a bound and no value; `not-finite`
 * @throws  RangeError for a span that is none
 * @cost    O(1)
 * @source  NAMUR NE 43, borders as public pages print them; it was not opened. At the borders, where those pages differ,
 *          no value is given
 * @checked tests/reference/spc/physics/loop-current.test.ts
 */
export function loopReading(milliamp: number, span: LoopSpan): Outcome<number> {
  const { at4, at20 } = checked(span);
  if (!Number.isFinite(milliamp)) return refuse("not-finite", `a loop's current is no number: ${milliamp}`);
  if (milliamp <= fault.low) return refuse("wire-break", `${milliamp} mA is ${fault.low} mA or less: no value`);
  if (milliamp >= fault.high) return refuse("short-circuit", `${milliamp} mA is ${fault.high} mA or more: no value`);
  if (milliamp <= measured.low) return refuse("below-range", `${milliamp} mA is at the transmitter's lower end`);
  if (milliamp >= measured.high) return refuse("above-range", `${milliamp} mA is at the transmitter's upper end`);
  return finite(at4 + ((milliamp - 4) / 16) * (at20 - at4), "a loop's value");
}

/**
 * Current that a transmitter sends for a value: the way back of `loopReading`.
 *
 * @shape   value: such that the current lies above 3.8 and below 20.5 mA; span: two different values
 * @unit    mA
 * @method  4 + 16 (value - at4) / (at20 - at4)
 * @refuses `below-range`, `above-range`: the transmitter clips; `not-finite`
 * @throws  RangeError for a span that is none
 * @cost    O(1)
 * @source  NAMUR NE 43, borders as public pages print them; it was not opened
 * @checked tests/reference/spc/physics/loop-current.test.ts
 */
export function loopCurrent(value: number, span: LoopSpan): Outcome<number> {
  const { at4, at20 } = checked(span);
  const milliamp = 4 + 16 * ((value - at4) / (at20 - at4));
  if (milliamp <= measured.low) return refuse("below-range", `${value} is below what a transmitter can send`);
  if (milliamp >= measured.high) return refuse("above-range", `${value} is above what a transmitter can send`);
  return finite(milliamp, "a loop's current");
}

function checked(span: LoopSpan): LoopSpan {
  const width = span.at20 - span.at4;
  if (!Number.isFinite(width) || width === 0) {
    throw new RangeError(`a loop's span needs two different values, got ${span.at4} and ${span.at20}`);
  }
  return span;
}

function finite(value: number, what: string): Outcome<number> {
  return Number.isFinite(value) ? ok(value) : refuse("not-finite", `${what} leaves the range of numbers`);
}
