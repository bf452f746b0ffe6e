import { createHash } from "node:crypto";
import { chartPairOf } from "../../spc/charts/pair.ts";
import type { Outcome } from "../../spc/model/outcome.ts";
import type { JudgedPoint } from "../../spc/proposal/judge-window.ts";
import type { Trial, TrialPoint, TrialRequest, TrialSide } from "../../spc/proposal/trial.ts";
import type { WireChange, WireTrial, WireTrialPoint } from "../contract/bench-wire.ts";
import { wireChance, wireRestsOn } from "./bench-wire-form.ts";
import { instant, instantOrNull, wireChartPoint } from "./wire-form.ts";

/** Everything of a trial that does not depend on who asks. */
export type TrialBody = Omit<WireTrial, "characteristic" | "inForce">;

export function wireTrial(request: TrialRequest, trial: Trial): TrialBody {
  const { window, basis, rules, characteristic } = request;
  const newest = trial.revised ?? trial.trial;
  const { fromMs, toMs, cautions, ...capability } = trial.capability;
  return {
    charts: newest.ok ? [...newest.value.limits.charts] : [...chartPairOf(characteristic).kinds],
    ...{ basis, rules: [...rules], k: newest.ok ? newest.value.limits.k : 3 },
    window: {
      from: instant(window.fromMs),
      to: instant(window.toMs),
      runs: window.runs.length,
      values: window.runs.filter(({ value }) => value !== null).length,
    },
    points: trial.points.map(wireTrialPoint),
    trial: wireSide(trial.trial),
    revised: trial.revised === null ? null : wireSide(trial.revised),
    chance: trial.chance === null ? null : wireChance(trial.chance),
    cautions: [...trial.cautions],
    change: wireChange(trial),
    capability: { ...capability, from: instantOrNull(fromMs), to: instantOrNull(toMs), cautions: [...cautions] },
    fingerprint: fingerprintOf(request, trial),
  };
}

/** Stands for all numbers that would rule and all that led to them; null where there are no limits. */
export function fingerprintOf({ characteristic, exclusions }: TrialRequest, trial: Trial): string | null {
  const newest = trial.revised ?? trial.trial;
  if (!newest.ok) return null;
  const causes = exclusions.map(({ run, cause, evidence, action }) => [run, cause, evidence, action]);
  const text = JSON.stringify([characteristic.id, newest.value.limits, causes]);
  return createHash("sha256").update(text).digest("base64url").slice(0, 22);
}

function wireSide(side: Outcome<TrialSide>): WireTrial["trial"] {
  if (!side.ok) return { refusal: side.refusal };
  const { limits, cautions, signals, unexplained } = side.value;
  const { location, spread } = limits;
  return { location, spread, restsOn: wireRestsOn(limits), cautions: [...cautions], signals, unexplained };
}

function wireTrialPoint({ run, atMs, imported, value, refusal, ...point }: TrialPoint): WireTrialPoint {
  const { anew, excluded, lookAt, members } = point;
  return {
    ...{ run, at: instant(atMs), imported, anew, value },
    ...(refusal === undefined ? {} : { refusal }),
    ...(members.length === 1 ? {} : { members: members.map(wireMember) }),
    ...{ excluded, lookAt },
    trial: wireJudged(point.trial),
    revised: point.revised === null ? null : wireJudged(point.revised),
  };
}

function wireMember({ run, atMs, value }: TrialPoint["members"][number]) {
  return { run, at: instant(atMs), value };
}

function wireJudged({ location, spread, signals }: JudgedPoint): WireTrialPoint["trial"] {
  return {
    location: wireChartPoint(location),
    spread: wireChartPoint(spread),
    signals: signals.map((signal) => ({ ...signal, members: [...signal.members] })),
  };
}

function wireChange({ change, points }: Trial): WireChange {
  if (!change.ok) return { refusal: change.refusal };
  const { index, before, after, set, cautions } = change.value;
  const first = points[index]!;
  return {
    ...{ run: first.run, at: instant(first.atMs), before, after },
    set: set.map((place) => points[place]!.run),
    cautions: [...cautions],
  };
}
