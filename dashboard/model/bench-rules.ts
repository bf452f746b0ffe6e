import type { RuleId } from "../../spc/rules/rule-ids.ts";

const names: Readonly<Record<RuleId, string>> = {
  "beyond-limit": "a point beyond a limit",
  "nine-on-one-side": "nine in a row on one side of the centre line",
  "six-in-one-direction": "six in a row rising, or falling",
  "fourteen-alternating": "fourteen in a row up and down by turns",
  "two-of-three-beyond-two-sigma": "two of three beyond two sigma on one side",
  "four-of-five-beyond-one-sigma": "four of five beyond one sigma on one side",
  "fifteen-within-one-sigma": "fifteen in a row within one sigma",
  "eight-outside-one-sigma": "eight in a row outside one sigma, on both sides",
};

export function ruleName(rule: string): string {
  if (rule === "outside-specification") return "a point outside the specification";
  return names[rule as RuleId] ?? rule.replaceAll("-", " ");
}

type Side = "above" | "below" | "both";

/** What a bracket says: as many runs as the pattern has, and what they did. */
export function patternWords(rule: string, side: Side, n: number): string {
  const way = side === "both" ? "on both sides" : side;
  switch (rule) {
    case "nine-on-one-side":
      return `${n} in a row ${way} the centre line`;
    case "six-in-one-direction":
      return `${n} in a row ${side === "below" ? "falling" : "rising"}`;
    case "fourteen-alternating":
      return `${n} in a row up and down by turns`;
    case "two-of-three-beyond-two-sigma":
      return `${n} of 3 beyond two sigma, ${way}`;
    case "four-of-five-beyond-one-sigma":
      return `${n} of 5 beyond one sigma, ${way}`;
    case "fifteen-within-one-sigma":
      return `${n} in a row within one sigma`;
    case "eight-outside-one-sigma":
      return `${n} in a row outside one sigma`;
    default:
      return ruleName(rule);
  }
}

const charts: Readonly<Record<string, string>> = {
  individuals: "individuals",
  "moving-range": "moving range",
  average: "averages",
  "standard-deviation": "standard deviation",
  s: "standard deviation",
  r: "range",
  range: "range",
  ewma: "weighted mean (EWMA)",
};

export function chartName(kind: string | undefined): string {
  return kind === undefined ? "" : (charts[kind] ?? kind.replaceAll("-", " "));
}
