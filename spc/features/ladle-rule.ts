import type { Outcome } from "../model/outcome.ts";

/** Where a characteristic lies against its own limits in force; `unknown` without a value or without limits. */
export type LadleStand = "low" | "within" | "high" | "unknown";

/** How the characteristics of one ladle stand on their charts. */
export interface LadleStands {
  /** `ladle.first`. */
  readonly first: LadleStand;
  /** `ladle.first_minus_line`. */
  readonly firstMinusLine: LadleStand;
  /** `ladle.slope`; low is a faster loss. */
  readonly slope: LadleStand;
  /** `ladle.residual.K` by position, from 1. */
  readonly residuals: readonly LadleStand[];
}

export interface LadleReading {
  /** What the pattern is like; a suspicion to be looked into, never a cause. */
  readonly like:
    | "cold-tap"
    | "hot-tap"
    | "cold-ladle"
    | "fast-loss"
    | "slow-loss"
    | "one-flask"
    | "nothing"
    | "undecided";
  /** Positions that lie off their ladle's line. */
  readonly flasks: readonly number[];
  /** Positions outside the flasks' specification, which holds for each flask whatever the ladle does. */
  readonly outside: readonly number[];
}

/**
 * The ladle rule: reads a ladle by what it decides once, and each flask by what is its own. First metal stands for the ladle,
 * the slope for its loss of heat, the residual for the flask; the fall from flask to flask is no news, so that no ladle's
 * sawtooth calls anybody.
 *
 * @shape   stands on each characteristic's own limits; first metal by position (1, 2, ...), refused where there was none;
 *          least: what each flask must not fall below, from its part's specification
 * @unit    Cel
 * @method  the first flask below the line of the later ones: a cold ladle, whatever first metal does; else first metal off with
 *          the line in place: the tap; else the slope; else single flasks
 * @cost    O(n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/ladle.test.ts
 */
export function ladleRule(stands: LadleStands, pours: readonly Outcome<number>[], least: number | null): LadleReading {
  const flasks = stands.residuals.flatMap((stand, i) => (stand === "low" || stand === "high" ? [i + 1] : []));
  const outside = pours.flatMap((pour, i) => (least !== null && pour.ok && pour.value < least ? [i + 1] : []));
  return { like: likeness(stands, flasks.length), flasks, outside };
}

function likeness({ first, firstMinusLine, slope }: LadleStands, flasks: number): LadleReading["like"] {
  if (firstMinusLine === "low") return "cold-ladle";
  if (first === "low") return firstMinusLine === "unknown" ? "undecided" : "cold-tap";
  if (first === "high") return "hot-tap";
  if (slope === "low") return "fast-loss";
  if (slope === "high") return "slow-loss";
  if (flasks > 0) return "one-flask";
  return first === "unknown" ? "undecided" : "nothing";
}
