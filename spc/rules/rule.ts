/** Which of the pair's charts a rule may be applied to. */
export type RuleOn = "location" | "spread";

interface Named {
  readonly id: string;
  readonly on: readonly RuleOn[];
}

/** One point strictly beyond a drawn limit. */
export interface LimitRule extends Named {
  readonly kind: "limit";
}

/**
 * `hits` of the last `of` points strictly beyond `beyond` sigma on the same side, the newest among them; `beyond` 0 is
 * the centre line itself. Fewer than `of` points may do.
 */
export interface WindowRule extends Named {
  readonly kind: "window";
  readonly hits: number;
  readonly of: number;
  readonly beyond: number;
}

/** `points` in a row strictly inside plus and minus `within` sigma. */
export interface InsideRule extends Named {
  readonly kind: "inside";
  readonly points: number;
  readonly within: number;
}

/** `points` in a row strictly beyond `beyond` sigma; `sides`: both must be among them, or it does not matter. */
export interface OutsideRule extends Named {
  readonly kind: "outside";
  readonly points: number;
  readonly beyond: number;
  readonly sides: "both" | "any";
}

/** `points` in a row, each strictly above, or each strictly below, the one before it. */
export interface TrendRule extends Named {
  readonly kind: "trend";
  readonly points: number;
}

/** `points` in a row that go strictly up and down in turn. */
export interface AlternatingRule extends Named {
  readonly kind: "alternating";
  readonly points: number;
}

/** A rule that looks at zones of the chart only. */
export type ZoneRule = WindowRule | InsideRule | OutsideRule;
/** A rule that looks at steps from point to point. */
export type StepRule = TrendRule | AlternatingRule;
/** A rule with a memory. */
export type PatternRule = ZoneRule | StepRule;
export type Rule = LimitRule | PatternRule;

/**
 * A further rule is a further row. Neighbouring moving ranges correlate: a spread chart takes its limit only. In the
 * order of `ruleIds`.
 */
export const rules: readonly Rule[] = [
  { id: "beyond-limit", kind: "limit", on: ["location", "spread"] },
  { id: "nine-on-one-side", kind: "window", on: ["location"], hits: 9, of: 9, beyond: 0 },
  { id: "six-in-one-direction", kind: "trend", on: ["location"], points: 6 },
  { id: "fourteen-alternating", kind: "alternating", on: ["location"], points: 14 },
  { id: "two-of-three-beyond-two-sigma", kind: "window", on: ["location"], hits: 2, of: 3, beyond: 2 },
  { id: "four-of-five-beyond-one-sigma", kind: "window", on: ["location"], hits: 4, of: 5, beyond: 1 },
  { id: "fifteen-within-one-sigma", kind: "inside", on: ["location"], points: 15, within: 1 },
  { id: "eight-outside-one-sigma", kind: "outside", on: ["location"], points: 8, beyond: 1, sides: "both" },
];

/** The same rules with the counts that other standards and houses use. */
export const ruleVariants: readonly Rule[] = [
  { id: "eight-on-one-side", kind: "window", on: ["location"], hits: 8, of: 8, beyond: 0 },
  { id: "seven-on-one-side", kind: "window", on: ["location"], hits: 7, of: 7, beyond: 0 },
  { id: "seven-in-one-direction", kind: "trend", on: ["location"], points: 7 },
  { id: "eight-outside-one-sigma-any-side", kind: "outside", on: ["location"], points: 8, beyond: 1, sides: "any" },
];

/** Id of the signal against a specification: a requirement, so it is no row above. */
export const OUTSIDE_SPECIFICATION = "outside-specification";

/**
 * Rule by id: the row behind a name in the settings or a limit set.
 *
 * @shape   an id
 * @unit    dimensionless
 * @throws  RangeError for an id without a row: settings are checked before anything starts
 * @source  Nelson 1984, Journal of Quality Technology 16:237-239 (from memory), tests 1 to 8; Western Electric 1956 for
 *          eight on one side, common ISO and automotive practice for the sevens (both from memory)
 * @checked tests/reference/spc/rules/rule-monitor.test.ts
 */
export function ruleById(id: string): Rule {
  const found = rules.find((rule) => rule.id === id) ?? ruleVariants.find((rule) => rule.id === id);
  if (found === undefined)
    throw new RangeError(
      `no rule is named ${id}; known are ${[...rules, ...ruleVariants].map((rule) => rule.id).join(", ")}`,
    );
  return found;
}
