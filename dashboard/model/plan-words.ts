import type { WirePlanRow } from "../../api/contract/plan-wire.ts";
import { ruleName } from "./bench-rules.ts";
import { labelWords } from "./flag-words.ts";
import { figure, plural } from "./numbers.ts";
import { unitAfter, unitWord } from "./units.ts";

type Specification = NonNullable<WirePlanRow["specification"]>;

/** `21.4 to 22.6, target 22.0 g/L`, `at most 48 °C`, `none stated` */
export function requirement(
  specification: Pick<Specification, "lower" | "upper" | "target"> | null,
  unit: string,
): string {
  if (specification === null) return "none stated";
  const { lower, upper, target } = specification;
  // As it was stated, whatever digits the chart has.
  const digits = Math.max(...[lower, upper, target].map((value) => decimals(value ?? 0)));
  const at = (value: number): string => figure(value, digits);
  const span =
    lower != null && upper != null
      ? `${at(lower)} to ${at(upper)}`
      : lower != null
        ? `at least ${at(lower)}`
        : upper != null
          ? `at most ${at(upper)}`
          : "";
  const aim = target == null ? "" : `target ${at(target)}`;
  return `${[span, aim].filter((part) => part !== "").join(", ")}${unitAfter(unit)}`;
}

function decimals(value: number): number {
  return (String(value).split(".")[1] ?? "").length;
}

/** All requirements of a row, a line each: its own, or that of each part. */
export function requirements(row: WirePlanRow): readonly string[] {
  const unit = unitWord(row.unit, row.reference, row.quantity);
  const own = row.specification === null ? [] : [requirement(row.specification, unit)];
  if (row.plotted !== null) {
    const what = row.plotted === "z" ? "sigma off the part's own" : "off the part's own";
    const targets = row.parts.map(
      ({ part, target }) => `${part} ${target === null ? "none" : figure(target, decimals(target))}`,
    );
    return [...own.map((one) => `${one} ${what}`), `parts' own: ${targets.join(", ")}`];
  }
  const parts = row.parts.filter(({ specification }) => specification !== null);
  if (parts.length === 0) return own.length === 0 ? ["none stated"] : own;
  return parts.map(({ part, specification }) => `${part} ${requirement(specification, unit)}`);
}

const charts: Readonly<Record<WirePlanRow["chart"], string>> = {
  individuals: "individuals and moving range",
  "averages-with-s": "averages and standard deviation",
  ewma: "EWMA and spread",
};

export function chartText({ chart, by, plotted, ewma }: WirePlanRow): string {
  const weight = ewma === null ? "" : `, weight ${ewma.lambda}`;
  const of = plotted === "deviation" ? " of deviations" : plotted === "z" ? " of standardised deviations" : "";
  return `${charts[chart]}${of}${weight}${by.length === 0 ? "" : `, by ${by.join(" and ")}`}`;
}

export function sampleText({ subgroup, runWord, everyMs, byHand }: WirePlanRow): string {
  const size = subgroup === 1 ? `every ${runWord}` : `${subgroup} ${plural(runWord)} together`;
  return `${size}, about one ${runWord} in ${everyWord(everyMs)}${byHand ? ", by hand" : ""}`;
}

function everyWord(ms: number): string {
  const units = [
    ["d", 86_400_000],
    ["h", 3_600_000],
    ["min", 60_000],
  ] as const;
  const [word, size] = units.find(([, size]) => ms >= size && ms % size === 0) ?? ["s", 1_000];
  return `${Math.round(ms / size)} ${word}`;
}

export function ruleText({ rules }: WirePlanRow): string {
  return rules.length === 0 ? "none: the specification alone" : rules.map(ruleName).join("; ");
}

/** The first action: of the most urgent row that states one. */
export function reactionText({ reactions }: WirePlanRow): string {
  const first = reactions.find(({ doFirst }) => doFirst !== null) ?? reactions[0];
  if (first === undefined) return "for review";
  // What has nothing to do first never stands above the review list.
  const label = first.doFirst === null ? "for-review" : first.label;
  const says = first.says ?? `${ruleName(first.rule)}${first.side === null ? "" : ` ${first.side}`}`;
  return `${labelWords(label)}, ${says}${first.doFirst === null ? "" : `: ${first.doFirst}`}`;
}

export function sourceText({ source, confidence }: WirePlanRow): string {
  return `${source ?? "no source stated"}${confidence === null ? "" : ` (confidence ${confidence})`}`;
}
