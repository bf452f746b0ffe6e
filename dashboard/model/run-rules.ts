import type { WireDryness, WireLadle, WireRunSheet } from "../../api/contract/wire.ts";
import { figure } from "./numbers.ts";
import { unitAfter, unitWord } from "./units.ts";

/** What the ladle rule makes of a ladle, in a sentence: a likeness to look into, never a cause. */
const ladleWords: Readonly<Record<WireLadle["like"], string>> = {
  "cold-tap": "First metal is low and the flasks after it lie on their line: like a cold tap.",
  "hot-tap": "First metal is high: like a hot tap.",
  "cold-ladle": "The first flask lies below the line of the later ones: like a cold ladle.",
  "fast-loss": "The ladle lost heat faster than its limits allow: like a long wait, a thin lining or a lid left open.",
  "slow-loss": "The ladle lost heat more slowly than its limits expect: are the times right?",
  "one-flask": "The ladle is as usual; single flasks lie off its line.",
  nothing: "Nothing stands out: the fall from flask to flask is the ladle's own.",
  undecided: "Undecided: values or limits are missing.",
};

export function ladleSentence({ like, outside, least }: WireLadle): string {
  const below =
    outside.length === 0 || least === null
      ? ""
      : ` Below ${figure(least, 0)} °C, which no flask should be: ${flaskList(outside)}.`;
  return ladleWords[like] + below;
}

function flaskList(positions: readonly number[]): string {
  return `flask${positions.length > 1 ? "s" : ""} ${positions.join(", ")}`;
}

export const standWords: Readonly<Record<WireLadle["features"][number]["stand"], string>> = {
  low: "below its limits",
  within: "within its limits",
  high: "above its limits",
  unknown: "no limits to compare with",
};

/** What may be said of a load's dryness, and by whom; it informs, and releases nothing. */
export function drynessSentence({ says, residualLimit }: WireDryness): string {
  const limit = `${figure(residualLimit, 1)} % of the dry coat`;
  switch (says) {
    case "within-limit":
      return `By the witness's weight, water left is within ${limit}.`;
    case "above-limit":
      return `By the witness's weight, more water is left than ${limit}.`;
    case "air-at-end":
      return "No witness. The air had stopped taking out water, as far as its probes can tell.";
    case "still-drying":
      return "No witness. The air still took out water when the load was released.";
    case "undecided":
      return "Undecided: no instrument here deserves to say how dry the load is. Weigh a cluster.";
  }
}

const doubtWords: Readonly<Record<WireDryness["doubts"][number], string>> = {
  "balance-disagrees":
    "The water that the air carried out and the water that was expected differ: airflow, a probe, a bypass, or a cluster that was not counted.",
  "air-still-takes-water":
    "The witness is dry and the air still took out water: other clusters are wetter, or a probe drifts.",
  "air-took-no-more":
    "The air had stopped taking out water and the witness is wet: the air missed it, or a probe drifts.",
};

export function doubtSentences({ doubts }: WireDryness): readonly string[] {
  return doubts.map((doubt) => doubtWords[doubt]);
}

const evidenceNames: Readonly<Record<string, readonly [name: string, digits: number]>> = {
  "dry.residual": ["Water left by the witness", 2],
  "dry.t_end": ["Endpoint by humidity difference", 2],
  "dry.water_ratio": ["Water carried out over water expected", 2],
  "dry.dw_end": ["Humidity difference before release", 2],
};

/** One line of evidence: its number, or in words why there is none. */
export interface Evidence {
  readonly name: string;
  readonly value: string | null;
  readonly reason: string;
}

export function evidenceOf({ evidence }: WireDryness): readonly Evidence[] {
  return evidence.map(({ feature, value, unit, refusal }) => {
    const [name, digits] = evidenceNames[feature] ?? [feature, 3];
    return {
      name,
      value: value === null ? null : `${figure(value, digits)}${unitAfter(unitWord(unit))}`,
      reason: value === null ? (refusal?.detail ?? "no reason given") : "",
    };
  });
}

type Features = WireRunSheet["run"]["features"];

/** The features that stand now, each with what it was first where that is something else. */
export function standingFeatures({ run, revisions }: WireRunSheet): {
  readonly features: Features;
  readonly first: ReadonlyMap<string, Features[number]>;
} {
  const newest = revisions.at(-1);
  const changed = run.features.filter((one) => {
    const now = newest?.features.find(({ feature }) => feature === one.feature);
    return now !== undefined && (now.value !== one.value || now.version !== one.version);
  });
  return {
    features: newest?.features ?? run.features,
    first: new Map(changed.map((one) => [one.feature, one])),
  };
}
