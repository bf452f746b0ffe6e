import type { RunTrace } from "../model/run.ts";
import type { ProbePair } from "../physics/probe-pair.ts";

/**
 * What stands before and behind the dryer, in numbers as the settings hold them: `pair` 1 two probes, 2 a matched pair;
 * `rh` in %, error of a probe of its own; `between` in %, what is left between matched ones; `kelvin`, error of temperature.
 * All are half-widths. Without a word the instruments are taken as two probes, which cannot tell an endpoint.
 */
export const pairDefaults: Readonly<Record<"pair" | "rh" | "between" | "kelvin", number>> = {
  pair: 1,
  rh: 2,
  between: 0.2,
  kelvin: 0.1,
};

/**
 * The pair of probes that a load was dried under: what its own events say (`pair`: `matched` or `separate`) holds before
 * the settings.
 *
 * @unit   %, K: half-widths of errors
 * @source common practice, no source: probes of 2 % and matched pairs of 0.2 %
 */
export function pairOf({ run }: RunTrace, numbers: typeof pairDefaults): ProbePair {
  const word = run.context["pair"];
  const matched = word === "matched" || (word !== "separate" && numbers.pair >= 2);
  return matched
    ? { kind: "matched", rhPercent: numbers.between, temperatureK: numbers.kelvin }
    : { kind: "independent", rhPercent: numbers.rh, temperatureK: numbers.kelvin };
}
