import type { Limits } from "../capability/sides.ts";
import type { Caution } from "../model/drawn-chart.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";

/** Instrument over process above which a capability is provisional; common practice, no source. */
const MOST_OF_PROCESS = 0.3;

/**
 * Guard band: limits inside the specification, within which a reading shows that the true value conforms.
 *
 * @shape   a specification; u of the reading and the coverage factor k, both zero or more
 * @unit    that of the specification
 * @method  lower + k u and upper - k u
 * @refuses guard-band-closes when they meet: the instrument is too coarse for the tolerance; no-specification
 * @throws  RangeError for an uncertainty that is none: a defect in the caller
 * @source  JCGM 106:2012, ISO 14253-1 (both from memory)
 * @checked tests/unit/spc/gauge/gauge.test.ts
 */
export function guardBand({ lower, upper }: Limits, u: number, k: number): Outcome<Limits> {
  const band = k * u;
  if (!(u >= 0 && k >= 0 && band < Infinity))
    throw new RangeError(`a guard band needs u and k of zero or more, got ${u}, ${k}`);
  if (lower === undefined && upper === undefined) return refuse("no-specification", "no specification is set");
  const inner: Limits = {
    ...(lower === undefined ? {} : { lower: lower + band }),
    ...(upper === undefined ? {} : { upper: upper - band }),
  };
  if (inner.lower !== undefined && inner.upper !== undefined && !(inner.lower < inner.upper)) {
    return refuse("guard-band-closes", "the uncertainty leaves nothing of the specification");
  }
  return ok(inner);
}

/**
 * Instrument's gate: whether the instrument is too uncertain for a capability of this process to be final.
 *
 * @shape   combined standard uncertainty, zero or more; sigma of the process above zero
 * @unit    none: a caution, or null
 * @method  u / sigma above 0.3
 * @throws  RangeError for spreads that are none: a defect in the caller
 * @source  common practice, no source
 * @checked tests/unit/spc/gauge/gauge.test.ts
 */
export function instrumentCaution(u: number, sigmaProcess: number): Caution | null {
  if (!(u >= 0 && sigmaProcess > 0 && u < Infinity)) {
    throw new RangeError(`the gate needs u of zero or more and a sigma above zero, got ${u}, ${sigmaProcess}`);
  }
  const ratio = u / sigmaProcess;
  if (!(ratio > MOST_OF_PROCESS)) return null;
  const percent = Math.round(100 * ratio);
  return {
    code: "instrument-share",
    text: `the instrument's uncertainty is ${percent} % of the process sigma: a capability is provisional above ${100 * MOST_OF_PROCESS} %`,
  };
}
