/** What is asked of a capability: summary values, the specification, and what charts and tests said of the span. */
export interface CapabilityRequest {
  /** Values behind the mean. */
  readonly n: number;
  readonly mean: number;
  /** The location chart's own sigma; null where it could not be had. */
  readonly sigmaWithin: number | null;
  /** Null for a sigma that brings none: then n - 1. */
  readonly dfWithin: number | null;
  /** s with n - 1. */
  readonly sigmaOverall: number;
  readonly lower?: number | undefined;
  readonly upper?: number | undefined;
  readonly target?: number | undefined;
  /** Of the two-sided intervals, between 0 and 1. */
  readonly confidence: number;
  /** True, or what speaks against it in plain words without a full stop. */
  readonly stable: boolean | string;
  /** Lag 1 lies outside its band. */
  readonly autocorrelated: boolean;
  /** Distinct values. */
  readonly distinct: number;
}

/**
 * Throws a RangeError for a request that is none: numbers that are not finite, counts, spreads or a confidence out of
 * range, a specification whose lower limit is not below its upper one.
 *
 * @shape   a request
 * @unit    none
 * @throws  RangeError, a defect in the caller
 * @source  definition
 * @checked tests/unit/spc/capability/capability-of.test.ts
 */
export function checkCapabilityRequest(request: CapabilityRequest): void {
  const { n, mean, sigmaWithin, dfWithin, sigmaOverall, lower, upper, target, confidence, distinct } = request;
  if (!(Number.isInteger(n) && n >= 0)) throw new RangeError(`n must be a whole number of zero or more, got ${n}`);
  if (!Number.isFinite(mean)) throw new RangeError(`the mean must be a number, got ${mean}`);
  for (const sigma of [sigmaWithin ?? 0, sigmaOverall]) {
    if (!(sigma >= 0 && sigma < Infinity)) throw new RangeError(`a sigma must be zero or more, got ${sigma}`);
  }
  if (!((dfWithin ?? 1) >= 1 && (dfWithin ?? 1) < Infinity)) {
    throw new RangeError(`degrees of freedom must be one or more, got ${dfWithin}`);
  }
  for (const limit of [lower ?? 0, upper ?? 0, target ?? 0]) {
    if (!Number.isFinite(limit)) throw new RangeError(`a specification is made of numbers, got ${limit}`);
  }
  if (lower !== undefined && upper !== undefined && !(lower < upper)) {
    throw new RangeError(`the lower limit must lie below the upper one, got ${lower} and ${upper}`);
  }
  if (!(confidence > 0 && confidence < 1)) throw new RangeError(`a confidence lies between 0 and 1, got ${confidence}`);
  if (!(distinct >= 0)) throw new RangeError(`distinct values are a count, got ${distinct}`);
}
