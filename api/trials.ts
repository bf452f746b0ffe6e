import { chartPairOf } from "../spc/charts/pair.ts";
import type { Outcome, Refusal } from "../spc/model/outcome.ts";
import { ok, refuse } from "../spc/model/outcome.ts";
import type { PersonRef } from "../spc/model/proposal.ts";
import type { ChartWindow } from "../spc/proposal/chart-window.ts";
import { type Trial, type TrialRequest, trialSteps } from "../spc/proposal/trial.ts";
import type { TrialAsk } from "./contract/bench-wire.ts";
import type { ApiParts } from "./parts.ts";
import { type Mistake, mistaken } from "./problem.ts";
import { weeklyRateOf } from "./read-model/bench.ts";
import type { TrialBody } from "./read-model/bench-trial.ts";
import { windowSteps } from "./read-model/bench-window.ts";
import type { Charted } from "./read-model/charted.ts";
import { inSlices } from "./slices.ts";

/** What was asked, as the stored runs answer it. */
export interface AskedTrial {
  readonly request: TrialRequest;
  readonly trial: Trial;
}

/**
 * Phase I over stored runs, or why there is nothing to look at, in slices: readings come in meanwhile. Rejects with a 400
 * for causes of runs that are not there.
 */
export function askTrial(...asked: Parameters<typeof trialOfStored>): Promise<Outcome<AskedTrial>> {
  return inSlices(trialOfStored(...asked));
}

function* trialOfStored(
  { journal }: Pick<ApiParts, "journal">,
  charted: Charted,
  ask: TrialAsk,
  by: PersonRef,
  nowMs: number,
): Generator<undefined, Outcome<AskedTrial>> {
  const { characteristic } = charted;
  const window = yield* windowSteps(journal, characteristic, ask.window, nowMs);
  if (!window.ok) return window;
  checkExclusions(ask, window.value);
  if (window.value.runs.length === 0) return refuse("too-few", "no run of this chart ended in that window");
  const request: TrialRequest = {
    characteristic,
    window: window.value,
    basis: ask.basis,
    rules: ask.rules ?? characteristic.rules,
    exclusions: ask.exclusions.map((one) => ({ ...one, by: by.name, atMs: nowMs })),
    pointsAWeek: weeklyRateOf(charted),
  };
  return ok({ request, trial: yield* trialSteps(request) });
}

/** A trial of a window that gave nothing at all. */
export function refusedTrial(
  { characteristic }: Charted,
  { basis, rules, window }: TrialAsk,
  { refusal }: { readonly refusal: Refusal },
): TrialBody {
  const to = window.to === undefined ? new Date(0) : new Date(window.to);
  const index = { refusal };
  return {
    charts: [...chartPairOf(characteristic).kinds],
    ...{ basis, rules: [...(rules ?? characteristic.rules)], k: 3 },
    window: {
      from: (window.from === undefined ? to : new Date(window.from)).toISOString(),
      to: to.toISOString(),
      ...{ runs: 0, values: 0 },
    },
    points: [],
    trial: { refusal },
    ...{ revised: null, chance: null, cautions: [], change: { refusal }, fingerprint: null },
    capability: { n: 0, from: null, to: null, cp: index, cpk: index, pp: index, ppk: index, cautions: [] },
  };
}

function checkExclusions({ exclusions }: TrialAsk, { runs }: ChartWindow): void {
  const there = new Set(runs.map(({ run }) => run));
  const seen = new Set<string>();
  const mistakes = exclusions.flatMap(({ run }, at): Mistake[] => {
    const place = `body/exclusions/${at}/run`;
    if (!there.has(run)) return [{ place, found: run, expected: "a run of the window" }];
    if (seen.has(run)) return [{ place, found: `${run} again`, expected: "each run once" }];
    seen.add(run);
    return [];
  });
  if (mistakes.length > 0) throw mistaken(mistakes);
}
