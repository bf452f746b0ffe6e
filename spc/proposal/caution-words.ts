import type { Caution } from "../model/drawn-chart.ts";
import type { LimitSet } from "../model/limit-set.ts";

type Cautioned = Pick<LimitSet, "diagnostics" | "basis"> & { readonly baseline: Pick<LimitSet["baseline"], "n"> };

/** What the cautions of a limit set mean, with their numbers. A code that has no words yet still shows as itself. */
export function cautionWords(limits: Cautioned): readonly Caution[] {
  return limits.diagnostics.cautions.map((code) => ({ code, text: wordsOf(code, limits) }));
}

function wordsOf(code: string, { diagnostics, basis, baseline }: Cautioned): string {
  const { lag1, lag1Band, distinctValues, ...sigma } = diagnostics;
  switch (code) {
    case "few-values":
      return `the limits rest on ${baseline.n} values and are provisional below 100`;
    case "autocorrelated":
      return `neighbouring runs depend on each other: lag-1 correlation ${lag1.toFixed(2)}, chance keeps it within ${lag1Band[0].toFixed(2)} and ${lag1Band[1].toFixed(2)}`;
    case "step-in-baseline":
      return "the level stepped within the window, so two processes may stand in it: split it there";
    case "overall-basis-recommended":
      return basis === "overall"
        ? "no step explains the dependence, which is why these limits rest on all values; run rules open no flag"
        : "no step explains the dependence, so limits from all values would suit it better; run rules then open no flag";
    case "between-subgroups":
      return "averages vary more than the spread within subgroups explains, so limits from within signal too often: look at averages, their moving ranges and the spread within as three charts";
    case "skewed":
      return "one tail is long, so chance passes the limit on that side several times as often";
    case "tails-unlike-normal":
      return "the values lie farther out, or closer in, than those of a normal: chance passes the limits more often, or less";
    case "few-distinct-values":
      return `${distinctValues} distinct values: the instrument rounds more coarsely than the process moves`;
    case "overall-to-within":
      return `all values spread ${(sigma.sigmaOverall / sigma.sigmaWithin).toFixed(1)} times as wide as neighbouring ones: something moves the process slowly`;
    case "signals-in-baseline":
      return "more values lie beyond these limits than chance gives";
    default:
      return code.replaceAll("-", " ");
  }
}
