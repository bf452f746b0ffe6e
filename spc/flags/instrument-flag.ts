import type { HealthCheck } from "../health/finding.ts";
import type { InstrumentNews } from "../model/journal-entry.ts";
import type { FlagMoment, FlagState } from "./flag.ts";

/** Opens the flag of an instrument that is at fault: what it reads is no number of the process while that lasts. */
export function openByInstrument(news: InstrumentNews, number: number): FlagState {
  const moment: FlagMoment = {
    atMs: news.sinceMs,
    run: null,
    value: null,
    line: null,
    side: null,
    on: null,
    z: null,
  };
  return {
    id: news.flag,
    number,
    station: news.station,
    characteristic: null,
    series: [news.series],
    label: "instrument-fault",
    ...wordsOf(news),
    state: "waiting",
    run: null,
    runs: [],
    signals: 1,
    rules: [news.check],
    first: moment,
    last: moment,
    worst: moment,
    late: news.late,
    foundMs: news.foundMs,
    cameBack: null,
    unseen: null,
    taken: null,
    done: null,
    faultOverMs: null,
    faultsOn: [news.check],
  };
}

/** A further fault of the same instrument, or the end of one. The flag stays until a person closes it. */
export function joinInstrument(flag: FlagState, news: InstrumentNews): FlagState {
  const before = flag.faultsOn ?? [];
  if (news.state === "ended") {
    const faultsOn = before.filter((check) => check !== news.check);
    return { ...flag, faultsOn, faultOverMs: faultsOn.length === 0 ? news.atMs : null };
  }
  return {
    ...flag,
    ...wordsOf(news),
    signals: flag.signals + 1,
    rules: flag.rules.includes(news.check) ? flag.rules : [...flag.rules, news.check],
    last: { ...flag.last, atMs: news.sinceMs },
    late: flag.late && news.late,
    faultsOn: before.includes(news.check) ? before : [...before, news.check],
    faultOverMs: null,
  };
}

function wordsOf({ role, check, says }: InstrumentNews): Pick<FlagState, "says" | "doFirst" | "evidence"> {
  const [word, doFirst] = words[check];
  return { says: `${role} ${word}`, doFirst, evidence: `${role} ${says}` };
}

/** What is wrong in few words, and what to do first: at most 80 characters, and nothing that opens a machine. */
const words: Readonly<Record<HealthCheck, readonly [string, string]>> = {
  stuck: ["is stuck", "Read it at a second instrument; then its power, cable and tapping."],
  clipped: ["stands at its end of range", "Read it at a second instrument; then its range and its cable."],
  "open-circuit": ["thermocouple is open", "Check its cable and terminals, then the tip. Have it replaced."],
  "loop-fault": ["loop is broken", "Check the loop's supply, fuse and terminals, then the transmitter."],
  "no-value": ["gives no value", "Check its power and cable, then its gateway."],
  "short-circuit": ["thermocouple is shorted", "Check its terminals and cable for a short, then the tip."],
  spikes: ["has spikes", "Check its cable, shield and terminals for a loose contact."],
  dropout: ["drops out", "Check its plug and cable for a loose contact."],
  zero: ["is off its zero", "Have it checked at zero against a second instrument, then adjusted."],
  "peer-drift": ["drifts from its peers", "Check it against a second instrument at its place; then replace it."],
  "slow-probe": ["answers slowly", "Check its tapping, filter or tip for dirt; then replace it."],
  "below-least": ["reads less than it can", "See that nothing holds it up; then its zero, against a known weight."],
  repeated: ["repeats its values", "Take it again, with a second person or a second scale."],
};
