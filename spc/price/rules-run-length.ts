import { atOnce } from "../model/at-once.ts";
import type { Rule } from "../rules/rule.ts";
import type { Circumstances } from "../rules/run-length.ts";
import { rulesRunLength } from "../rules/run-length.ts";
import type { RunLength } from "../rules/survival.ts";
import { stepsRunLength } from "./rules-steps-alone.ts";
import type { Simulation } from "./simulated-run-length.ts";
import { simulatedSteps } from "./simulated-run-length.ts";

/** A run length and how well it is known: without a standard error it is exact. */
export interface KnownRunLength extends RunLength {
  readonly standardError: number | null;
}

/** Enough for two digits and a half, and quick enough for a hand on a slider. */
const USUAL: Simulation = { trials: 20_000, seed: 20261125 };

/**
 * Known run length: of any set of rules, by the best way there is, and remembered.
 *
 * @shape   rules as rows, at least one; shift, half-width and width of the lines in sigma; trials and seed, should a
 *          simulation be needed
 * @unit    dimensionless, points
 * @method  rules about zones: exact chain (`rulesRunLength`). One rule about steps by itself: exact (`stepsRunLength`).
 *          Rules about steps among others: simulation with its standard error; the same seed for every shift, so that
 *          neighbouring shifts compare
 * @throws  RangeError for no rules, for a shift or width that is no number
 * @cost    as the way taken; nothing the second time
 * @source  Champ and Woodall 1987, Technometrics 29:393-399 (from memory); step rules: derived here
 * @checked tests/reference/spc/price-rules/run-lengths.test.ts
 */
export function knownRunLength(
  rules: readonly Rule[],
  circumstances: Circumstances = {},
  simulation: Simulation = USUAL,
): KnownRunLength {
  return atOnce(knownRunLengthSteps(rules, circumstances, simulation));
}

/**
 * Known run length, a little at a time: the same, remembered as well.
 *
 * @shape   as `knownRunLength`
 * @unit    points
 * @source  as `knownRunLength`
 * @checked tests/unit/spc/price-rules/price.test.ts
 */
export function* knownRunLengthSteps(
  rules: readonly Rule[],
  circumstances: Circumstances = {},
  simulation: Simulation = USUAL,
): Generator<undefined, KnownRunLength> {
  const { shift = 0, limit = null, scale = 1 } = circumstances;
  const key = JSON.stringify([rules, shift, limit, scale, simulation.trials, simulation.seed]);
  const found = known.get(key) ?? (yield* reckon(rules, circumstances, simulation));
  // A slider visits many places, but nothing in the process may grow without an end.
  if (known.size >= 1000) known.clear();
  known.set(key, found);
  return found;
}

const known = new Map<string, KnownRunLength>();

function* reckon(
  rules: readonly Rule[],
  circumstances: Circumstances,
  simulation: Simulation,
): Generator<undefined, KnownRunLength> {
  const steps = rules.flatMap((rule) => (rule.kind === "trend" || rule.kind === "alternating" ? [rule] : []));
  if (steps.length === 0) return { ...rulesRunLength(rules, circumstances), standardError: null };
  if (rules.length === 1) return { ...stepsRunLength(steps[0]!), standardError: null };
  const { mean, sd, standardError } = yield* simulatedSteps(rules, circumstances, simulation);
  return { mean, sd, standardError };
}
