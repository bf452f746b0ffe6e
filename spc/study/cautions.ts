import { normalCdf } from "../library/normal.ts";
import type { Caution } from "../model/drawn-chart.ts";
import { rulesNotApplied } from "../rules/applicability.ts";
import { autocorrelationDecision } from "../stats/ar1-decision.ts";
import { MOST_SKEWNESS, SETTLED_VALUES } from "../stats/thresholds.ts";
import type { Seen } from "./diagnose.ts";
import type { StudyForm } from "./forms.ts";
import { type Judged, whyNotStable } from "./judged.ts";
import { type StudyRequest, usualRules } from "./request.ts";

/** Points below which limits are provisional; ISO 7870-2 and textbooks ask for 20 to 25 (from memory). */
const LEAST_POINTS = 20;

/** Forms whose points are independent by design where neighbouring values are not, or that take it into account. */
const takesDependence: readonly StudyForm[] = ["residual", "batch-mean"];
/** Forms whose statistic is skewed by nature, with limits of its own. */
const ofWaits: readonly StudyForm[] = ["g", "t"];

/**
 * Cautions of a study beside those of its charts: too few, unstable, dependent, skewed, refused.
 *
 * @source  ISO 7870-2 (from memory); thresholds: common practice, no source
 */
export function studyCautions(request: StudyRequest, form: StudyForm, seen: Seen, judged: Judged): readonly Caution[] {
  return [
    ...refusals(judged),
    ...numbers(request, seen),
    ...unstable(judged),
    ...dependence(request, form, seen),
    ...skewness(request, form, seen),
    ...unusedRules(request, judged),
  ];
}

function refusals({ charts }: Judged): readonly Caution[] {
  return charts.flatMap(({ chart: { refusal } }) =>
    refusal === null ? [] : [{ code: refusal.code, text: refusal.detail }],
  );
}

function numbers({ data }: StudyRequest, { n, points }: Seen): readonly Caution[] {
  const cautions: Caution[] = [];
  if (points < LEAST_POINTS) {
    const text = `the limits rest on ${points} points: provisional below ${LEAST_POINTS}`;
    cautions.push({ code: "few-points", text });
  }
  if (data.kind === "values" && n < SETTLED_VALUES) {
    cautions.push({ code: "few-values", text: `${n} values: provisional below ${SETTLED_VALUES}` });
  }
  return cautions;
}

function unstable(judged: Judged): readonly Caution[] {
  const why = whyNotStable(judged);
  if (why === null || judged.charts.some(({ chart }) => chart.refusal !== null)) return [];
  return [{ code: "not-stable", text: `${why}: the limits rest on a process that was not in control all the time` }];
}

function dependence({ basis, width }: StudyRequest, form: StudyForm, seen: Seen): readonly Caution[] {
  const { autocorrelated, lag1, lag1Band } = seen;
  if (!autocorrelated || lag1 === null || lag1Band === null) return [];
  const band = `lag 1 is ${lag1.toFixed(2)}, outside ${lag1Band[0].toFixed(2)} to ${lag1Band[1].toFixed(2)}`;
  if (takesDependence.includes(form)) {
    const text = `neighbouring values depend on each other (${band}): this chart takes it into account, an individuals chart of the values would not`;
    return [{ code: "autocorrelated", text }];
  }
  const ways = autocorrelationDecision({
    lag1,
    significant: true,
    step: false,
    fasterThanProcess: null,
    season: false,
  });
  const rate = form === "individuals" && basis === "chart" ? chanceRate(lag1, width ?? 3) : "";
  const offered = lag1 > 0 ? "; a residual or a batch-mean chart takes it into account" : "";
  const text = `neighbouring points depend on each other (${band})${rate}: patterns of points on one side or in one direction come of themselves${offered}. ${ways.map(({ words }) => words).join("; ")}`;
  return [{ code: "autocorrelated", text }];
}

/** E[MR / d2] = sigma sqrt(1 - phi) in an AR(1) process, so that limits stand at k sqrt(1 - phi) sigma. */
function chanceRate(lag1: number, k: number): string {
  const share = 2 * normalCdf(-k * Math.sqrt(Math.max(1 - lag1, 0)));
  const usual = 2 * normalCdf(-k);
  return `. Chance alone puts about 1 point in ${inWords(share)} outside these limits, not 1 in ${inWords(usual)}`;
}

function inWords(share: number): string {
  return share > 0 ? String(Math.round(1 / share)) : "very many";
}

function skewness({ data }: StudyRequest, form: StudyForm, { skewness: found, n }: Seen): readonly Caution[] {
  if (data.kind !== "values" || ofWaits.includes(form) || found === null) return [];
  const byChance = 2 * Math.sqrt(6 / n);
  if (Math.abs(found) <= MOST_SKEWNESS || Math.abs(found) <= byChance) return [];
  const side = found > 0 ? "upper" : "lower";
  const text = `the values are skewed (skewness ${found.toFixed(2)}), so chance passes the ${side} limit several times as often as it should: look for a mixture first, then transform or fit another distribution`;
  return [{ code: "skewed", text }];
}

/** Only what somebody asked for beyond the usual is worth a word. */
function unusedRules({ rules }: StudyRequest, { charts }: Judged): readonly Caution[] {
  const asked = rules.filter((rule) => !usualRules.includes(rule));
  const unused = asked.filter((rule) => charts.every(({ chart }) => rulesNotApplied(chart, [rule]).length > 0));
  if (unused.length === 0) return [];
  const text = `${unused.join(", ")}: not applied, since the points of ${charts.length === 1 ? "this chart" : "these charts"} overlap or are no near-normal values`;
  return [{ code: "rule-not-applied", text }];
}
