import { useEffect } from "preact/hooks";
import type { WireTrial } from "../../../api/contract/bench-wire.ts";
import { paths } from "../../client/paths.ts";
import type { BenchAddress, TrialChoice } from "../../model/bench-address.ts";
import { type Posted, usePosted } from "./use-posted.ts";

/** The trial that is open, if any: what was chosen, what the server makes of it, and how to choose otherwise. */
export interface OpenTrial {
  readonly choice: TrialChoice | null;
  readonly answer: Posted<WireTrial>;
  readonly again: () => void;
  readonly choose: (next: TrialChoice) => void;
  readonly close: () => void;
}

export function useTrial(id: string, address: BenchAddress, go: (next: BenchAddress) => void): OpenTrial {
  const choice = address.trial;
  const { answer, again } = usePosted<WireTrial>(paths.trial(id), choice === null ? null : trialBody(choice));
  const window = answer.asking ? null : (answer.value?.window ?? null);
  const counted = choice !== null && "last" in choice.window;
  const choose = (next: TrialChoice): void => go({ ...address, trial: next });
  useEffect(() => {
    // The newest N are others tomorrow: the address keeps the times that came out, so that a link shows the same.
    if (counted && window !== null && choice !== null && window.runs > 0) {
      choose({ ...choice, window: { from: window.from, to: window.to } });
    }
  }, [counted, window]);
  return { choice, answer, again, choose, close: () => go({ ...address, trial: null }) };
}

/** The same question for a trial, a replay and a proposal. */
export function trialBody(choice: TrialChoice): Readonly<Record<string, unknown>> {
  return {
    window: choice.window,
    basis: choice.basis,
    ...(choice.rules === null ? {} : { rules: choice.rules }),
    exclusions: choice.leftOut,
  };
}
