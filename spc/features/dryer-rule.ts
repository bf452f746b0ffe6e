import type { Outcome } from "../model/outcome.ts";

/** What a load tells of its dryness; each may be a refusal, and none stands in for another without being named. */
export interface DryerEvidence {
  /** `dry.residual`, % of the dry coat. */
  readonly residual: Outcome<number>;
  /** `dry.t_end`, h. */
  readonly endpoint: Outcome<number>;
  /** `dry.water_ratio`. */
  readonly waterRatio: Outcome<number>;
}

/** Requirements of the plant; the defaults are common practice, no source. */
export interface DryerLimits {
  readonly residualPercent: number;
  readonly ratio: { readonly from: number; readonly to: number };
}

export const usualDryerLimits: DryerLimits = { residualPercent: 0.5, ratio: { from: 0.85, to: 1.15 } };

export type DryerDoubt =
  /** Water carried out and water expected differ: airflow, a probe, a bypass, or a cluster that was not counted. */
  | "balance-disagrees"
  /** The witness is dry and the air still took water out: other clusters are wetter, or a probe drifts. */
  | "air-still-takes-water"
  /** The air had stopped taking water and the witness is wet: the air missed it, or a probe drifts. */
  | "air-took-no-more";

export interface DryerReading {
  /** What is said of the load; `undecided` where no instrument deserves to say. */
  readonly says: "within-limit" | "above-limit" | "air-at-end" | "still-drying" | "undecided";
  readonly by: "witness" | "air" | null;
  readonly doubts: readonly DryerDoubt[];
  /** Codes of what could not be read. */
  readonly missing: Readonly<Partial<Record<keyof DryerEvidence, string>>>;
}

/**
 * The dryer rule: what may be said of a load's dryness. The witness's weight decides where there is one; the air's endpoint only
 * where its instruments can tell it; relative humidity never. The water balance stands beside both.
 *
 * @shape   three outcomes as the features give them; limits of the plant
 * @unit    none: a word, by whom, and the doubts that stand beside it; it informs, and releases nothing
 * @method  witness: residual against its limit; else air: endpoint reached and no balance that disagrees; a balance below its
 *          range withholds what only the air says
 * @cost    O(1)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/dryer-rule.test.ts
 */
export function dryerRule(evidence: DryerEvidence, limits: DryerLimits = usualDryerLimits): DryerReading {
  const { residual, endpoint, waterRatio } = evidence;
  const missing: Partial<Record<keyof DryerEvidence, string>> = {};
  for (const key of ["residual", "endpoint", "waterRatio"] as const) {
    const outcome = evidence[key];
    if (!outcome.ok) missing[key] = outcome.refusal.code;
  }
  const doubts: DryerDoubt[] = [];
  const { from, to } = limits.ratio;
  const disagrees = waterRatio.ok && !(waterRatio.value >= from && waterRatio.value <= to);
  if (disagrees) doubts.push("balance-disagrees");
  const drying = !endpoint.ok && endpoint.refusal.code === "endpoint-not-reached";
  if (residual.ok) {
    const within = residual.value <= limits.residualPercent;
    if (within && drying) doubts.push("air-still-takes-water");
    if (!within && endpoint.ok) doubts.push("air-took-no-more");
    return { says: within ? "within-limit" : "above-limit", by: "witness", doubts, missing };
  }
  if (drying) return { says: "still-drying", by: "air", doubts, missing };
  if (endpoint.ok && !disagrees) return { says: "air-at-end", by: "air", doubts, missing };
  return { says: "undecided", by: null, doubts, missing };
}
