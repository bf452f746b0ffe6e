import type { WireInstrument } from "../../api/contract/instrument-wire.ts";
import { ageWord } from "./times.ts";
import { unitAfter, unitWord } from "./units.ts";

type State = WireInstrument["state"];

/** In the order of the list: worst first. */
export const instrumentStates: readonly State[] = ["fault", "silent", "undecided", "due", "well", "never"];

const stateWords: Readonly<Record<State, string>> = {
  fault: "at fault",
  silent: "no news",
  undecided: "undecided",
  due: "calibration overdue",
  well: "nothing found",
  never: "has not spoken yet",
};

const checkWords: Readonly<Record<string, string>> = {
  stuck: "stuck",
  clipped: "end of range",
  "open-circuit": "open circuit",
  "loop-fault": "loop",
  "no-value": "gives values",
  "short-circuit": "short circuit",
  spikes: "spikes",
  dropout: "holes",
  zero: "known zero",
  "peer-drift": "against its peers",
  "slow-probe": "answer to a step",
  "below-least": "least possible",
  repeated: "repeated values",
};

export function stateWord(state: State): string {
  return stateWords[state];
}

export function checkWord(check: string): string {
  return checkWords[check] ?? check;
}

export interface InstrumentFilter {
  readonly station: string | null;
  readonly state: State | null;
}

/** What the address asks for; what it does not know it passes over. */
export function instrumentFilter(search: string): InstrumentFilter {
  const query = new URLSearchParams(search);
  const state = query.get("state");
  return { station: query.get("station") || null, state: instrumentStates.find((one) => one === state) ?? null };
}

export function instrumentSearch({ station, state }: InstrumentFilter): string {
  const query = new URLSearchParams({
    ...(station === null ? {} : { station }),
    ...(state === null ? {} : { state }),
  });
  return query.size === 0 ? "" : `?${query}`;
}

export function filteredInstruments(
  items: readonly WireInstrument[],
  { station, state }: InstrumentFilter,
): readonly WireInstrument[] {
  return items.filter(
    (one) => (station === null || one.station === station) && (state === null || one.state === state),
  );
}

/** What it read last and how old that is: `0.431 barg, 12 s old`. */
export function newestWords(one: WireInstrument, nowMs: number): string {
  if (one.newest === null) return "no reading yet";
  const { value, at } = one.newest;
  const unit = unitAfter(unitWord(one.unit, one.reference, one.quantity));
  const read = value === null ? "no value" : `${value.toFixed(one.digits)}${unit}`;
  return `${read}, ${ageWord(nowMs - Date.parse(at))} old`;
}

export function qualityWord({ newest }: WireInstrument): string {
  return newest === null ? "none" : newest.quality;
}

/** `due 2 Mar 2027`, `overdue since 10 Nov 2026`, or what is not said. */
export function calibrationWords({ calibration }: WireInstrument, day: (ms: number) => string): string {
  if (calibration === null) return "calibration not stated";
  const { on, due, overdue } = calibration;
  const word = (date: string): string => day(Date.parse(`${date}T12:00:00Z`));
  if (on === null) return "no calibration on record";
  if (due === null) return `calibrated ${word(on)}`;
  return `calibrated ${word(on)}, ${overdue ? "overdue since" : "due"} ${word(due)}`;
}

/** `plateau: ±0.0175 bar eats 22 % of its tolerance`, or why that cannot be said. */
export function shareWords(share: WireInstrument["shares"][number]): string {
  const name = share.part === null ? share.name : `${share.name} ${share.part}`;
  const unit = unitAfter(share.unit === "Cel" ? "K" : unitWord(share.unit));
  const error = share.error === null ? null : `\u00b1${Number(share.error.toPrecision(3))}${unit}`;
  if (share.share !== null && error !== null) {
    return `${name}: ${error} eats ${Math.round(share.share * 100)} % of the tolerance`;
  }
  return `${name}: ${error === null ? "" : `${error}; `}share not stated, ${share.why ?? "unknown"}`;
}
