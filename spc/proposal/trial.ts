import type { Capability } from "../capability/study.ts";
import { capabilityStudy } from "../capability/study.ts";
import { proposeLimits } from "../charts/propose-limits.ts";
import { drawAveragesWithS } from "../drawn/averages-s.ts";
import { drawEwma } from "../drawn/ewma.ts";
import { drawIndividuals } from "../drawn/individuals.ts";
import type { Characteristic } from "../model/characteristic.ts";
import { usualEwma } from "../model/characteristic.ts";
import type { ChartDesign } from "../model/chart-design.ts";
import { usualDesign } from "../model/chart-design.ts";
import { columnOf } from "../model/column.ts";
import type { Caution, DrawnCharts } from "../model/drawn-chart.ts";
import { eachOnce } from "../model/drawn-chart.ts";
import type { Grouped } from "../model/grouped.ts";
import type { LimitSet } from "../model/limit-set.ts";
import type { Outcome, Refusal } from "../model/outcome.ts";
import { ok } from "../model/outcome.ts";
import type { Exclusion, ProposedLimits } from "../model/proposal.ts";
import type { WindowChange } from "../phase1/level-in-window.ts";
import { levelInWindow } from "../phase1/level-in-window.ts";
import { pointsToLookAt } from "../phase1/look-at.ts";
import type { PhaseOne, PhaseOneLimits } from "../phase1/phase-one.ts";
import { phaseOne } from "../phase1/phase-one.ts";
import type { RecordedCause } from "../phase1/recorded-cause.ts";
import { withoutPlaces } from "../phase1/without-places.ts";
import { subgroupAverages } from "../sigma/subgroup-moments.ts";
import { cautionWords } from "./caution-words.ts";
import type { ChanceRate } from "./chance-rate.ts";
import { chanceRateSteps } from "./chance-rate.ts";
import type { ChartWindow, WindowPlace } from "./chart-window.ts";
import { groupedPlaces, subgroupsOf, windowPlaces } from "./chart-window.ts";
import type { JudgedPoint } from "./judge-window.ts";
import { judgeWindow } from "./judge-window.ts";

/** What somebody asks: which runs, which of them are left out and why, and how the limits are to be had. */
export interface TrialRequest {
  readonly characteristic: Characteristic;
  readonly window: ChartWindow;
  readonly basis: LimitSet["basis"];
  readonly rules: readonly string[];
  /** Each of a run in the window, no run twice. */
  readonly exclusions: readonly Exclusion[];
  readonly pointsAWeek: number;
}

export interface TrialPoint extends WindowPlace {
  readonly anew: boolean;
  readonly excluded: boolean;
  readonly lookAt: boolean;
  readonly trial: JudgedPoint;
  readonly revised: JudgedPoint | null;
}

/** Limits from one choice of points. */
export interface TrialSide {
  readonly limits: ProposedLimits;
  readonly cautions: readonly Caution[];
  /** Points that signal against these limits, and those of them without a recorded cause. */
  readonly signals: number;
  readonly unexplained: number;
}

/** Phase I of one window, with everything that speaks for and against its limits. */
export interface Trial {
  readonly points: readonly TrialPoint[];
  readonly trial: Outcome<TrialSide>;
  /** Null while nothing is left out. */
  readonly revised: Outcome<TrialSide> | null;
  /** Of the newest limits; null where they are refused. */
  readonly chance: ChanceRate | null;
  readonly cautions: readonly Caution[];
  /** Told in places of the window. */
  readonly change: Outcome<WindowChange>;
  readonly capability: Capability;
}

/** The pair drawn over a whole window, with the same numbers as live. */
function drawPair(characteristic: Characteristic, data: Grouped, design: ChartDesign): DrawnCharts {
  switch (characteristic.chart) {
    case "individuals":
      return drawIndividuals(data, design);
    case "averages-with-s":
      return drawAveragesWithS(data, design);
    case "ewma":
      return drawEwma(data, design, characteristic.ewma ?? usualEwma);
  }
}

/**
 * Trial limits of a window, and beside them those without the runs whose causes are recorded. A little at a time: whoever
 * has other work to do does it between two steps.
 */
export function* trialSteps(asked: TrialRequest): Generator<undefined, Trial> {
  const places = windowPlaces(asked.window, asked.characteristic);
  const request = withWholeSubgroups(asked, places);
  const { characteristic, window, basis, exclusions } = request;
  const data = groupedPlaces(places, characteristic, window.everyMs);
  const design: ChartDesign = { ...usualDesign({ from: 0, to: places.length }), basis };
  const draw = (exclude: readonly number[]): DrawnCharts =>
    drawPair(characteristic, withoutPlaces(data, exclude), design);
  const byRun = new Map(exclusions.map((exclusion) => [exclusion.run, exclusion]));
  const causes = places.flatMap(({ run }, place): RecordedCause[] => {
    const exclusion = byRun.get(run);
    if (exclusion === undefined) return [];
    const { cause, by, atMs, evidence, action } = exclusion;
    return [{ place, cause, who: by, when: new Date(atMs).toISOString(), evidence, action }];
  });
  const found = phaseOne(draw, causes);
  const phases = found.ok ? found.value : withNothingLeftOut(draw);
  const out = new Set(causes.map(({ place }) => place));
  yield;

  const trialLimits = limitsOf(request, []);
  const revisedLimits = exclusions.length === 0 ? null : found.ok ? limitsOf(request, exclusions) : found;
  yield;
  const trialPoints = judgeWindow(places, phases.trial.drawn, phases.trial.drawn, request, trialLimits.ok, nothing);
  yield;
  const revisedPoints =
    phases.revised === null || revisedLimits === null
      ? null
      : judgeWindow(places, phases.revised.drawn, phases.trial.drawn, request, revisedLimits.ok, out);

  yield;
  const trial = sideOf(trialLimits, phases.trial, trialPoints, out);
  const revised =
    revisedLimits === null ? null : sideOf(revisedLimits, phases.revised ?? phases.trial, revisedPoints ?? [], out);
  const newest = revised ?? trial;
  const anew = new Set(data.anew);
  const chance = newest.ok ? yield* chanceRateSteps(newest.value.limits, request.pointsAWeek) : null;
  yield;
  const lookAt = new Set(trialLimits.ok ? pointsToLookAt(phases.trial.drawn.charts[0]!) : []);
  return {
    points: places.map((one, place) => ({
      ...one,
      ...{ anew: anew.has(place), excluded: out.has(place), lookAt: lookAt.has(place) },
      ...{ trial: trialPoints[place]!, revised: revisedPoints?.[place] ?? null },
    })),
    trial,
    revised,
    chance,
    cautions: eachOnce([...(newest.ok ? newest.value.cautions : []), ...phases.cautions]),
    change: changeIn(characteristic, data, out, phases),
    capability: capabilityOfWindow(request, newest),
  };
}

/** A subgroup is left out whole: what befell one of its runs stands behind its average and its spread. */
function withWholeSubgroups(request: TrialRequest, places: readonly WindowPlace[]): TrialRequest {
  const given = new Map(request.exclusions.map((exclusion) => [exclusion.run, exclusion]));
  const exclusions = places.flatMap(({ members }): Exclusion[] => {
    const first = members.map(({ run }) => given.get(run)).find((exclusion) => exclusion !== undefined);
    if (first === undefined) return [];
    return members.map(({ run }) => given.get(run) ?? { ...first, run });
  });
  return { ...request, exclusions };
}

/** A weighted mean remembers earlier points, so there the averages that went in are asked. */
function changeIn(
  { chart }: Characteristic,
  data: Grouped,
  out: ReadonlySet<number>,
  { trial, revised }: PhaseOne,
): Outcome<WindowChange> {
  const [location] = (revised ?? trial).drawn.charts;
  if (chart !== "ewma") return levelInWindow(location!);
  return levelInWindow({ ...location!, values: columnOf(subgroupAverages(withoutPlaces(data, [...out]))) });
}

const nothing: ReadonlySet<number> = new Set();

function withNothingLeftOut(draw: (exclude: readonly number[]) => DrawnCharts): PhaseOne {
  const found = phaseOne(draw, []);
  // Refusals are about what is left out only.
  if (!found.ok) throw new TypeError(`Phase I of a whole window was refused: ${found.refusal.detail}`);
  return found.value;
}

function limitsOf(
  { characteristic, window, basis, rules }: TrialRequest,
  exclusions: readonly Exclusion[],
): Outcome<ProposedLimits> {
  return proposeLimits({
    pair: characteristic.chart,
    ...{ subgroup: characteristic.subgroup, ewma: characteristic.ewma },
    subgroups: subgroupsOf(window.runs),
    ...{ everyMs: window.everyMs, unit: characteristic.unit, rules, basis },
    excluded: Object.fromEntries(exclusions.map(({ run, cause }) => [run, cause])),
    imported: new Set(window.runs.filter(({ imported }) => imported).map(({ run }) => run)),
  });
}

function sideOf(
  limits: Outcome<ProposedLimits> | { readonly ok: false; readonly refusal: Refusal },
  { drawn: { cautions } }: PhaseOneLimits,
  points: readonly JudgedPoint[],
  out: ReadonlySet<number>,
): Outcome<TrialSide> {
  if (!limits.ok) return limits;
  const signalling = [...points.keys()].filter((place) => points[place]!.signals.length > 0);
  return ok({
    limits: limits.value,
    cautions: withWords(limits.value, cautions),
    signals: signalling.length,
    unexplained: signalling.filter((place) => !out.has(place)).length,
  });
}

/** Where the chart itself said why, its words stand for the code. */
function withWords(limits: ProposedLimits, drawn: readonly Caution[]): readonly Caution[] {
  const known = cautionWords(limits);
  const better = known.map((one) =>
    one.code === "between-subgroups" ? (drawn.find(({ code }) => code === one.code) ?? one) : one,
  );
  return eachOnce([...better, ...drawn]);
}

/** Stable is what shows no signal without a cause; runs left out hold their place without a value. */
function capabilityOfWindow(
  { characteristic, window, exclusions }: TrialRequest,
  newest: Outcome<TrialSide>,
): Capability {
  const out = new Set(exclusions.map(({ run }) => run));
  return capabilityStudy({
    window: subgroupsOf(window.runs.map((stored) => (out.has(stored.run) ? { ...stored, value: null } : stored))),
    everyMs: window.everyMs,
    specification: characteristic.specification,
    stability: { limitsInForce: newest.ok, signals: newest.ok ? newest.value.unexplained : 0, flagOpen: false },
  });
}
