import { eachOnce } from "../model/drawn-chart.ts";
import { signalsOf } from "../rules/signals-of.ts";
import { advise } from "./advice.ts";
import { capabilityFor } from "./capability.ts";
import { studyCautions } from "./cautions.ts";
import { changePointsOf } from "./change-points.ts";
import { diagnose } from "./diagnose.ts";
import { drawForm } from "./draw-form.ts";
import { lookedAt } from "./from-nominal.ts";
import type { StudyRequest } from "./request.ts";
import type { StudyResult } from "./result.ts";
import { baselineOfStudy } from "./study-baseline.ts";

/**
 * Study: all that a series of values or counts says of a process, from its charts to its capability.
 *
 * @shape   what was read, and the options
 * @unit    that of the values; ratios and probabilities dimensionless
 * @method  the form asked for, or the one advised; limits from the baseline; rules on every chart that takes them;
 *          diagnostics, change point and capability over the baseline
 * @throws  RangeError for data that the form asked for cannot take: the command checks before it asks
 * @cost    O(n log n)
 * @source  NIST/SEMATECH e-Handbook chapter 6 (in part opened); what is advised when: common practice, no source
 * @checked tests/reference/spc/study/study.test.ts
 */
export function study(request: StudyRequest): StudyResult {
  const baseline = baselineOfStudy(request);
  const seen = diagnose(lookedAt(request.data), baseline);
  const chosen = request.data.form === null ? advise(request.data, seen) : { form: request.data.form, advice: null };
  const drawn = drawForm(chosen.form, request, baseline);
  const charts = drawn.charts.map((chart) => ({ chart, signals: signalsOf(chart, request.rules) }));
  const { sigmaWithin, dfWithin } = drawn;
  const judged = { charts, baseline, sigmaWithin, dfWithin };
  const capability = capabilityFor(request, chosen.form, seen, judged);
  const changes = changePointsOf(request, chosen.form, judged);
  const cautions = [
    ...drawn.cautions,
    ...studyCautions(request, chosen.form, seen, judged),
    ...(capability?.cautions ?? []),
    ...changes.cautions,
  ];
  return {
    n: request.rows,
    form: chosen.form,
    advice: chosen.advice,
    charts,
    sigmaWithin,
    sigmaOverall: seen.sigmaOverall,
    diagnostics: {
      lag1: seen.lag1,
      lag1Band: seen.lag1Band,
      ljungBox: seen.ljungBox,
      andersonDarling: seen.andersonDarling,
      overallToWithin: ratioSquared(seen.sigmaOverall, sigmaWithin),
      distinctValues: seen.distinctValues,
    },
    changePoints: changes.points,
    capability: capability?.indices ?? null,
    cautions: eachOnce(cautions),
  };
}

function ratioSquared(overall: number | null, within: number | null): number | null {
  if (overall === null || within === null || !(within > 0)) return null;
  const ratio = (overall / within) ** 2;
  return Number.isFinite(ratio) ? ratio : null;
}
