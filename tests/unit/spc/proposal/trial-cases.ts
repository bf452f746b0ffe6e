import type { Exclusion } from "../../../../spc/model/proposal.ts";
import type { ChartWindow, StoredValue } from "../../../../spc/proposal/chart-window.ts";
import { type Trial, type TrialRequest, trialSteps } from "../../../../spc/proposal/trial.ts";
import { drained } from "../../../drained.ts";
import { normals } from "../../../property/spc/seeded.ts";
import { plateau } from "../press-fixtures.ts";

const everyMs = plateau.everyMs;

/** Runs one expected interval apart; null holds a place without a value. */
export function windowOf(
  values: readonly (number | null)[],
  pauseBefore: Readonly<Record<number, number>> = {},
): ChartWindow {
  let atMs = 0;
  const runs = values.map((value, i): StoredValue => {
    atMs += everyMs + (pauseBefore[i] ?? 0);
    const missing = { code: "no-plateau", detail: "no steady pressure" };
    return { run: `PR-01:${i}`, atMs, imported: false, value, ...(value === null ? { refusal: missing } : {}) };
  });
  return { fromMs: everyMs, toMs: atMs + 1, everyMs, runs };
}

/** In control: centre 0.92, sigma 0.004. */
export function steady(n: number, seed = 7): number[] {
  const next = normals(seed);
  return Array.from({ length: n }, () => 0.92 + 0.004 * next());
}

export function left(place: number, change: Partial<Exclusion> = {}): Exclusion {
  return {
    run: `PR-01:${place}`,
    cause: "steam supply",
    evidence: "header pressure fell at the same time",
    action: "header valve repaired",
    by: "Process engineer",
    atMs: 5,
    ...change,
  };
}

/** A trial taken at once. */
export const trialOf = (request: TrialRequest): Trial => drained(trialSteps(request));

export function requestOf(window: ChartWindow, change: Partial<TrialRequest> = {}): TrialRequest {
  return {
    ...{ characteristic: plateau, window, basis: "chart", rules: plateau.rules },
    ...{ exclusions: [], pointsAWeek: 4_032 },
    ...change,
  };
}
