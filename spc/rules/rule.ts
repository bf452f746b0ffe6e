/** Which of the pair's charts a rule may be applied to. */
export type RuleOn = "location" | "spread";

/**
 * A rule as a row. `limit`: one point strictly beyond a drawn limit. `window`: `hits` of the last `of` points strictly
 * beyond `beyond` sigma on the same side, the newest among them; `beyond` 0 is the centre line itself.
 */
export type Rule =
  | { readonly id: string; readonly kind: "limit"; readonly on: readonly RuleOn[] }
  | {
      readonly id: string;
      readonly kind: "window";
      readonly on: readonly RuleOn[];
      readonly hits: number;
      readonly of: number;
      readonly beyond: number;
    };

export type WindowRule = Extract<Rule, { kind: "window" }>;

/** A further rule is a further row. Neighbouring moving ranges correlate: their chart takes its limit only. */
export const rules: readonly Rule[] = [
  { id: "beyond-limit", kind: "limit", on: ["location", "spread"] },
  { id: "nine-on-one-side", kind: "window", on: ["location"], hits: 9, of: 9, beyond: 0 },
];

/** Id of the signal against a specification: a requirement, so it is no row above. */
export const OUTSIDE_SPECIFICATION = "outside-specification";

/**
 * Rule by id: the row behind a name in the settings or a limit set.
 *
 * @shape   an id
 * @unit    dimensionless
 * @throws  RangeError for an id without a row: settings are checked before anything starts
 * @source  Nelson 1984, Journal of Quality Technology 16:237-239 (from memory), tests 1 and 2
 * @checked tests/reference/spc/rules/rule-monitor.test.ts
 */
export function ruleById(id: string): Rule {
  const found = rules.find((rule) => rule.id === id);
  if (found === undefined)
    throw new RangeError(`no rule is named ${id}; known are ${rules.map((r) => r.id).join(", ")}`);
  return found;
}
