import type { SignalRecord } from "../model/journal-entry.ts";
import type { Signal, SignalOn } from "../model/signal.ts";
import { labelOrder } from "../model/signal.ts";
import type { FlagMoment, FlagState } from "./flag.ts";

/** Runs kept on a flag: what a card may ever show; the count of signals goes on. */
const MOST_RUNS = 200;

/** A value against the specification is in the reader's own terms; a range between two runs is the least so. */
const plainest: readonly (SignalOn | null)[] = ["specification", "location", "spread", null];

export function openBySignal(
  { signal, foundMs, late }: SignalRecord,
  number: number,
  former: FlagState | undefined,
): FlagState {
  const moment = momentOf(signal);
  return {
    id: signal.flag,
    number,
    station: signal.station,
    characteristic: signal.characteristic,
    series: [],
    label: signal.label,
    doFirst: signal.doFirst,
    says: signal.says,
    state: "waiting",
    run: signal.run,
    runs: [signal.run],
    signals: 1,
    rules: [signal.rule],
    first: moment,
    last: moment,
    worst: moment,
    late,
    foundMs,
    cameBack:
      former === undefined
        ? null
        : { flag: former.id, number: former.number, times: (former.cameBack?.times ?? 0) + 1 },
    unseen: null,
    taken: null,
    done: null,
  };
}

export function joinSignal(flag: FlagState, { signal, late }: SignalRecord): FlagState {
  const moment = momentOf(signal);
  const worse = isWorse(moment, flag.worst);
  return {
    ...flag,
    ...wordsOf(flag, signal, worse),
    runs: flag.runs.includes(signal.run) ? flag.runs : [...flag.runs, signal.run].slice(-MOST_RUNS),
    signals: flag.signals + 1,
    rules: flag.rules.includes(signal.rule) ? flag.rules : [...flag.rules, signal.rule],
    last: isNewer(moment, flag.last) ? moment : flag.last,
    worst: worse ? moment : flag.worst,
    late: flag.late && late,
  };
}

/**
 * A more urgent signal raises the label and brings its own words; none lowers it. Of equal ones the worst speaks, so
 * that the words fit the value that stands beside them.
 */
function wordsOf(flag: FlagState, signal: Signal, worse: boolean): Pick<FlagState, "label" | "doFirst" | "says"> {
  const rank = labelOrder.indexOf(signal.label) - labelOrder.indexOf(flag.label);
  const { label, doFirst, says } = rank < 0 || (rank === 0 && worse) ? signal : flag;
  return { label, doFirst, says };
}

function momentOf({ atMs, run, value, line, side, on, z }: Signal): FlagMoment {
  return { atMs, run, value, line, side, on, z };
}

/** Of several signals at one run the plainest stands for it. */
function isNewer(moment: FlagMoment, than: FlagMoment): boolean {
  if (moment.run !== than.run) return moment.atMs >= than.atMs;
  return plainest.indexOf(moment.on) < plainest.indexOf(than.on);
}

/** The plainest kind of signal first; of one kind the farthest, in sigma where there is one, else from its line. */
function isWorse(moment: FlagMoment, than: FlagMoment): boolean {
  if (moment.on !== than.on) return plainest.indexOf(moment.on) < plainest.indexOf(than.on);
  return distance(moment) > distance(than);
}

function distance({ z, value, line }: FlagMoment): number {
  return Math.abs(z ?? (value ?? 0) - (line ?? 0));
}
