import type { Capability } from "../capability/study.ts";
import { capabilityStudy } from "../capability/study.ts";
import type { LimitProposal } from "../charts/propose-limits.ts";
import { proposeLimits } from "../charts/propose-limits.ts";
import { drawIndividuals } from "../drawn/individuals.ts";
import type { Characteristic } from "../model/characteristic.ts";
import type { ChartDesign } from "../model/chart-design.ts";
import type { Caution, DrawnCharts } from "../model/drawn-chart.ts";
import type { Grouped } from "../model/grouped.ts";
import type { LimitSet } from "../model/limit-set.ts";
import type { Outcome, Refusal } from "../model/outcome.ts";
import { ok } from "../model/outcome.ts";
import type { Exclusion } from "../model/proposal.ts";
import type { WindowChange } from "../phase1/level-in-window.ts";
import { levelInWindow } from "../phase1/level-in-window.ts";
import { pointsToLookAt } from "../phase1/look-at.ts";
import type { PhaseOne, PhaseOneLimits } from "../phase1/phase-one.ts";
import { phaseOne } from "../phase1/phase-one.ts";
import { withoutPlaces } from "../phase1/without-places.ts";
import { cautionWords, eachOnce } from "./caution-words.ts";
import type { ChanceRate } from "./chance-rate.ts";
import { chanceRate } from "./chance-rate.ts";
import type { ChartWindow, StoredValue } from "./chart-window.ts";
import { groupedWindow, subgroupsOf } from "./chart-window.ts";
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

export interface TrialPoint extends StoredValue {
  readonly anew: boolean;
  readonly excluded: boolean;
  readonly lookAt: boolean;
  readonly trial: JudgedPoint;
  readonly revised: JudgedPoint | null;
}

/** Limits from one choice of points. */
export interface TrialSide {
  readonly limits: LimitProposal;
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

type Draw = (data: Grouped, design: ChartDesign) => DrawnCharts;

/** A pair of charts drawn over a whole window, with the same numbers as live. */
export function isDrawn({ chart }: Pick<Characteristic, "chart">): boolean {
  return drawn[chart] !== undefined;
}

const drawn: Readonly<Partial<Record<string, Draw>>> = { individuals: drawIndividuals };

/** Trial limits of a window, and beside them those without the runs whose causes are recorded. */
export function trialOf(request: TrialRequest): Trial {
  const { characteristic, window, basis, exclusions } = request;
  const data = groupedWindow(window);
  const design: ChartDesign = {
    ...{ baseline: { from: 0, to: window.runs.length }, k: 3, limits: "sigma", basis },
    ...{ centre: null, sigma: null },
  };
  const form = drawn[characteristic.chart];
  if (form === undefined) throw new RangeError(`no trial can be drawn of the chart ${characteristic.chart}`);
  const draw = (exclude: readonly number[]): DrawnCharts => form(withoutPlaces(data, exclude), design);
  const places = new Map(window.runs.map(({ run }, place) => [run, place]));
  const causes = exclusions.map(({ run, cause, by, atMs, evidence, action }) => {
    return { place: places.get(run)!, cause, who: by, when: new Date(atMs).toISOString(), evidence, action };
  });
  const asked = phaseOne(draw, causes);
  const phases = asked.ok ? asked.value : withNothingLeftOut(draw);
  const out = new Set(causes.map(({ place }) => place));

  const trialLimits = limitsOf(request, []);
  const revisedLimits = exclusions.length === 0 ? null : asked.ok ? limitsOf(request, exclusions) : asked;
  const trialPoints = judgeWindow(window, phases.trial.drawn, phases.trial.drawn, request, trialLimits.ok, nothing);
  const revisedPoints =
    phases.revised === null || revisedLimits === null
      ? null
      : judgeWindow(window, phases.revised.drawn, phases.trial.drawn, request, revisedLimits.ok, out);

  const trial = sideOf(trialLimits, phases.trial, trialPoints, out);
  const revised =
    revisedLimits === null ? null : sideOf(revisedLimits, phases.revised ?? phases.trial, revisedPoints ?? [], out);
  const newest = revised ?? trial;
  const anew = new Set(data.anew);
  const lookAt = new Set(trialLimits.ok ? pointsToLookAt(phases.trial.drawn.charts[0]!) : []);
  return {
    points: window.runs.map((stored, place) => ({
      ...stored,
      ...{ anew: anew.has(place), excluded: out.has(place), lookAt: lookAt.has(place) },
      ...{ trial: trialPoints[place]!, revised: revisedPoints?.[place] ?? null },
    })),
    trial,
    revised,
    chance: newest.ok ? chanceRate(newest.value.limits, request.pointsAWeek) : null,
    cautions: eachOnce([...phases.cautions, ...(newest.ok ? newest.value.cautions : [])]),
    change: levelInWindow((phases.revised ?? phases.trial).drawn.charts[0]!),
    capability: capabilityOfWindow(request, newest),
  };
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
): Outcome<LimitProposal> {
  return proposeLimits({
    pair: characteristic.chart,
    subgroups: subgroupsOf(window.runs),
    ...{ everyMs: window.everyMs, unit: characteristic.unit, rules, basis },
    excluded: Object.fromEntries(exclusions.map(({ run, cause }) => [run, cause])),
    imported: new Set(window.runs.filter(({ imported }) => imported).map(({ run }) => run)),
  });
}

function sideOf(
  limits: Outcome<LimitProposal> | { readonly ok: false; readonly refusal: Refusal },
  { drawn: { cautions } }: PhaseOneLimits,
  points: readonly JudgedPoint[],
  out: ReadonlySet<number>,
): Outcome<TrialSide> {
  if (!limits.ok) return limits;
  const signalling = [...points.keys()].filter((place) => points[place]!.signals.length > 0);
  return ok({
    limits: limits.value,
    cautions: eachOnce([...cautionWords(limits.value.diagnostics, limits.value.baseline.n), ...cautions]),
    signals: signalling.length,
    unexplained: signalling.filter((place) => !out.has(place)).length,
  });
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
