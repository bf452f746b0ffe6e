import type { LimitSet } from "../spc/model/limit-set.ts";

/** Limits of a press's plateau as two people agreed on them: centre 0.9 bar, sigma 0.01; `change` overrides any field. */
export function pressLimits(characteristic: string, change: Partial<LimitSet> = {}): LimitSet {
  const revision = change.revision ?? 1;
  return {
    id: `${characteristic}@${revision}`,
    characteristic,
    revision,
    basis: "chart",
    charts: ["individuals", "moving-range"],
    location: { centre: 0.9, lower: 0.87, upper: 0.93, sigma: 0.01 },
    spread: { centre: 0.0113, lower: 0, upper: 0.0369, sigma: 0.0085 },
    estimator: "moving-range",
    k: 3,
    unit: "bar",
    rules: ["beyond-limit", "nine-on-one-side"],
    baseline: { fromMs: 0, toMs: 1, n: 60, excluded: {}, imported: 60 },
    diagnostics: {
      sigmaWithin: 0.01,
      sigmaOverall: 0.0101,
      lag1: 0.02,
      lag1Band: [-0.25, 0.25],
      distinctValues: 40,
      cautions: [],
    },
    effectiveFromMs: 0,
    frozenAtMs: 1,
    proposedBy: "process engineer",
    agreedBy: "works manager",
    reason: "limits for a test",
    engine: "test",
    ...change,
  };
}
