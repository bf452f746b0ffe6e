import type { WireCharacteristic, WireFlag } from "../../api/contract/wire.ts";
import { figure, sentenceCase } from "./numbers.ts";

export type Letter = "A" | "L" | "R" | "F";

const letters: Readonly<Record<WireFlag["label"], Letter>> = {
  "act-now": "A",
  look: "L",
  "for-review": "R",
  "instrument-fault": "F",
};

const words: Readonly<Record<WireFlag["label"], string>> = {
  "act-now": "Act now",
  look: "Look this shift",
  "for-review": "For review",
  "instrument-fault": "Instrument fault",
};

const urgency: readonly WireFlag["label"][] = ["act-now", "look", "instrument-fault", "for-review"];
const stateOrder: readonly WireFlag["state"][] = ["waiting", "taken", "done"];

export function flagLetter(label: WireFlag["label"]): Letter {
  return letters[label];
}

export function labelWords(label: WireFlag["label"]): string {
  return words[label];
}

/** How a flag's points are ringed: in its own manner while it is open; a closed one asks for nothing any more. */
export function ringLabel(flag: WireFlag | undefined): WireFlag["label"] {
  return flag === undefined || flag.state === "done" ? "for-review" : flag.label;
}

/** Most urgent first; among equals those nobody has yet; among those the one that waits the longest. */
export function byUrgency(flags: readonly WireFlag[]): readonly WireFlag[] {
  return [...flags].sort(
    (a, b) =>
      urgency.indexOf(a.label) - urgency.indexOf(b.label) ||
      stateOrder.indexOf(a.state) - stateOrder.indexOf(b.state) ||
      a.foundAt.localeCompare(b.foundAt),
  );
}

/** The value that people should see first, and the line it stands against: `low limit 1430`. */
export function valueAgainst(
  flag: WireFlag,
  characteristic: WireCharacteristic | null,
): { readonly value: string | null; readonly against: string } {
  const { value, line } = flag.worst;
  return {
    value: value === null ? null : figure(value, flag.digits),
    against: line === null ? "" : `${lineName(flag, line, characteristic)} ${figure(line, flag.digits)}`,
  };
}

/** Which line a flag's value is held against; the wire sends the number, the limits in force tell its name. */
function lineName(flag: WireFlag, line: number, characteristic: WireCharacteristic | null): string {
  const limits = characteristic?.limits ?? null;
  const specification = characteristic?.specification ?? null;
  const { on } = flag.worst;
  if (on === "spread") return "moving range, high limit";
  if (on === "specification") return line === specification?.lower ? "spec from" : "spec to";
  if (limits !== null && line === limits.location.upper) return "high limit";
  if (limits !== null && line === limits.location.lower) return "low limit";
  if (limits !== null && line === limits.location.centre) return "centre";
  if (flag.rules.every((rule) => rule === "nine-on-one-side")) return "centre";
  return flag.first.side === "below" ? "low limit" : "high limit";
}

const ruleNames: Readonly<Record<string, string>> = {
  "beyond-limit": "beyond a control limit",
  "nine-on-one-side": "nine in a row on one side of the centre line",
  "outside-specification": "outside the specification",
  silence: "no news",
};

/** The rules of a flag in plain words: `Beyond a control limit and nine in a row on one side of the centre line`. */
export function ruleWords(rules: readonly string[]): string {
  return sentenceCase(rules.map((rule) => ruleNames[rule] ?? rule.replaceAll("-", " ")).join(" and "));
}
