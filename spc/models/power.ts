import type { Limits } from "../capability/sides.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";

/** Nearer to zero the power is the logarithm to the last digit, and the division would lose it. */
const ZERO = 1e-100;

/**
 * Box-Cox power of a value: keeps the order of values whatever lambda is.
 *
 * @shape   x above zero, any finite lambda
 * @unit    none that people know
 * @method  (x^lambda - 1) / lambda, ln x for lambda 0
 * @throws  RangeError for x at or below zero: a defect in the caller
 * @source  Box and Cox 1964, J. Roy. Stat. Soc. B 26:211-252 (from memory)
 * @checked tests/property/spc/models/power.test.ts
 */
export function boxCoxPower(x: number, lambda: number): number {
  const log = logOf(x, lambda);
  return Math.abs(lambda) < ZERO ? log : Math.expm1(lambda * log) / lambda;
}

/**
 * Value behind a Box-Cox power: the way back.
 *
 * @shape   y as `boxCoxPower` gives it for lambda
 * @unit    that of the values
 * @method  (1 + lambda y)^(1 / lambda), e^y for lambda 0
 * @refuses not-a-number where no value has that power: 1 + lambda y at or below zero, or the value leaves the numbers
 * @throws  RangeError for y or lambda that are none: a defect in the caller
 * @source  inverse of the above
 * @checked tests/property/spc/models/power.test.ts
 */
export function boxCoxValue(y: number, lambda: number): Outcome<number> {
  if (!Number.isFinite(y) || !Number.isFinite(lambda)) throw new RangeError(`a power is a number, got ${y}, ${lambda}`);
  const x = Math.exp(Math.abs(lambda) < ZERO ? y : Math.log1p(lambda * y) / lambda);
  return x > 0 && x < Infinity ? ok(x) : refuse("not-a-number", `no value has ${y} as its power of ${lambda}`);
}

/**
 * Plain power of a value: what people can read, as 1/x or the root of x. Below lambda 0 it turns the order round.
 *
 * @shape   x above zero, any finite lambda
 * @unit    that of the values to the power of lambda
 * @method  x^lambda, ln x for lambda 0
 * @throws  RangeError for x at or below zero: a defect in the caller
 * @source  Box and Cox 1964, J. Roy. Stat. Soc. B 26:211-252 (from memory)
 * @checked tests/property/spc/models/power.test.ts
 */
export function plainPower(x: number, lambda: number): number {
  const log = logOf(x, lambda);
  return lambda === 0 ? log : Math.exp(lambda * log);
}

/**
 * Specification to the plain power: goes with the data, and its sides change places below lambda 0.
 *
 * @shape   a specification whose limits lie above zero, any finite lambda
 * @unit    that of the values to the power of lambda
 * @method  the plain power of each limit; upper and lower change places for lambda < 0
 * @refuses not-positive for a limit at or below zero: a natural bound of zero is no specification and is left out
 * @throws  RangeError for a lambda that is none: a defect in the caller
 * @source  derived here
 * @checked tests/property/spc/models/power.test.ts
 */
export function powerOfLimits({ lower, upper }: Limits, lambda: number): Outcome<Limits> {
  for (const limit of [lower, upper]) {
    if (limit !== undefined && !(limit > 0)) {
      return refuse("not-positive", `a limit of ${limit} has no power: only limits above zero do`);
    }
  }
  const low = lower === undefined ? {} : { [lambda < 0 ? "upper" : "lower"]: plainPower(lower, lambda) };
  const high = upper === undefined ? {} : { [lambda < 0 ? "lower" : "upper"]: plainPower(upper, lambda) };
  return ok({ ...low, ...high });
}

function logOf(x: number, lambda: number): number {
  if (!(x > 0 && x < Infinity) || !Number.isFinite(lambda)) {
    throw new RangeError(`a power needs a value above zero and a number lambda, got ${x}, ${lambda}`);
  }
  return Math.log(x);
}
