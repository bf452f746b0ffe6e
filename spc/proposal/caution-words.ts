import type { Caution } from "../model/drawn-chart.ts";
import type { LimitDiagnostics } from "../model/limit-set.ts";

/** What the cautions of a limit set mean, with their numbers. A code that has no words yet still shows as itself. */
export function cautionWords(diagnostics: LimitDiagnostics, n: number): readonly Caution[] {
  return diagnostics.cautions.map((code) => ({ code, text: wordsOf(code, diagnostics, n) }));
}

function wordsOf(code: string, { lag1, lag1Band, distinctValues, ...sigma }: LimitDiagnostics, n: number): string {
  switch (code) {
    case "few-values":
      return `the limits rest on ${n} values and are provisional below 100`;
    case "autocorrelated":
      return `neighbouring runs depend on each other: lag-1 correlation ${lag1.toFixed(2)}, chance keeps it within ${lag1Band[0].toFixed(2)} and ${lag1Band[1].toFixed(2)}`;
    case "step-in-baseline":
      return "the level stepped within the window, so two processes may stand in it: split it there";
    case "overall-basis-recommended":
      return "no step explains the dependence, so limits from all values would suit it better; run rules then open no flag";
    case "skewed":
      return "one tail is long, so chance passes the limit on that side several times as often";
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
