import type { WireFlag, WireFloorCharacteristic } from "../../api/contract/wire.ts";
import { digitsApart } from "../../spc/model/digits-apart.ts";
import { spreadWord } from "./chart-words.ts";
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

/** Flags as they are handled: what stands under an open common cause is told by that one. */
export function handledFlags(flags: readonly WireFlag[]): readonly WireFlag[] {
  const open = new Set(flags.flatMap(({ id, state }) => (state === "done" ? [] : [id])));
  return flags.filter(({ parent }) => parent === undefined || !open.has(parent));
}

/** The value that people should see first, and the line it stands against: `low limit 1430`. */
export function valueAgainst(
  flag: WireFlag,
  characteristic: WireFloorCharacteristic | null,
): { readonly value: string | null; readonly against: string } {
  const { value, line } = flag.worst;
  const digits = value === null || line === null ? flag.digits : digitsApart(value, line, flag.digits);
  return {
    value: value === null ? null : figure(value, digits),
    against: line === null ? "" : `${lineName(flag, line, characteristic)} ${figure(line, digits)}`,
  };
}

/**
 * Which line a flag's value is held against. Specification and limits in force tell its name; where they are not at
 * hand, or others have followed, the value does, which lies beyond its line.
 */
function lineName(flag: WireFlag, line: number, characteristic: WireFloorCharacteristic | null): string {
  const limits = characteristic?.limits ?? null;
  const specification = characteristic?.specification ?? null;
  const { on, value } = flag.worst;
  const below = value === null ? flag.first.side === "below" : value < line;
  if (on === "spread") {
    const word = characteristic === null ? "moving range" : spreadWord(characteristic);
    return `${word}, ${line === limits?.spread.lower ? "low" : "high"} limit`;
  }
  if (on === "specification")
    return (specification === null ? below : line === specification.lower) ? "spec from" : "spec to";
  if (limits !== null && line === limits.location.upper) return "high limit";
  if (limits !== null && line === limits.location.lower) return "low limit";
  if (limits !== null && line === limits.location.centre) return "centre";
  if (flag.rules.every((rule) => rule === "nine-on-one-side")) return "centre";
  return below ? "low limit" : "high limit";
}

const ruleNames: Readonly<Record<string, string>> = {
  "beyond-limit": "beyond a control limit",
  "nine-on-one-side": "nine in a row on one side of the centre line",
  "six-in-one-direction": "six in a row going one way",
  "fourteen-alternating": "fourteen in a row going up and down in turn",
  "two-of-three-beyond-two-sigma": "two of three beyond two sigma on one side",
  "four-of-five-beyond-one-sigma": "four of five beyond one sigma on one side",
  "fifteen-within-one-sigma": "fifteen in a row within one sigma",
  "eight-outside-one-sigma": "eight in a row beyond one sigma on both sides",
  "outside-specification": "outside the specification",
  silence: "no news",
};

/** The rules of a flag in plain words: `Beyond a control limit and nine in a row on one side of the centre line`. */
export function ruleWords(rules: readonly string[]): string {
  return sentenceCase(rules.map((rule) => ruleNames[rule] ?? rule.replaceAll("-", " ")).join(" and "));
}

/** A flag that was closed and is back: `came back after flag 7`, `came back a 3rd time, after flag 12`. */
export function cameBackWords({ cameBack }: Pick<WireFlag, "cameBack">): string | null {
  if (cameBack === null) return null;
  const { times, number } = cameBack;
  return times === 1 ? `came back after flag ${number}` : `came back a ${ordinal(times)} time, after flag ${number}`;
}

function ordinal(n: number): string {
  const teen = n % 100 >= 11 && n % 100 <= 13;
  const ending = teen ? "th" : (["th", "st", "nd", "rd"][n % 10] ?? "th");
  return `${n}${ending}`;
}

/** A shift went by before anybody took it: `unseen by the night shift`. */
export function unseenWords({ unseen }: Pick<WireFlag, "unseen">): string | null {
  if (unseen === null) return null;
  return /shift/i.test(unseen.shift) ? `unseen by ${unseen.shift}` : `unseen by the ${unseen.shift} shift`;
}

/** Its sensor's time lies ahead of when it was found, by more than clocks may differ. */
const MOST_AHEAD_MS = 60_000;

/** `time uncertain` where the clock that stamped it ran ahead of ours. */
export function timeWords({ first, foundAt }: Pick<WireFlag, "first" | "foundAt">): string | null {
  return Date.parse(first.at) - Date.parse(foundAt) > MOST_AHEAD_MS ? "time uncertain" : null;
}

/** All that is said of a flag beside its state, in the order in which it matters. */
export function historyWords(flag: WireFlag): readonly string[] {
  return [unseenWords(flag), cameBackWords(flag), timeWords(flag)].filter((word) => word !== null);
}
