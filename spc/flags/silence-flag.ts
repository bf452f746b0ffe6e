import type { Silence } from "../model/journal-entry.ts";
import type { FlagMoment, FlagState } from "./flag.ts";

/** Opens an instrument's flag: a clock decided it, no run and no value stand behind it. */
export function openBySilence(silence: Silence, number: number): FlagState {
  const moment: FlagMoment = {
    atMs: silence.sinceMs,
    run: null,
    value: null,
    line: null,
    side: null,
    on: null,
    z: null,
  };
  return {
    id: silence.flag,
    number,
    station: silence.station,
    characteristic: null,
    series: silence.series,
    label: "instrument-fault",
    doFirst: silence.wholeSource
      ? "Check the gateway's power and network before any instrument behind it"
      : "Check the instrument's power and cable, then its gateway",
    says: silence.wholeSource ? `nothing from ${silence.source}` : `nothing from ${silence.series.join(", ")}`,
    state: "waiting",
    run: null,
    runs: [],
    signals: 1,
    rules: ["silence"],
    first: moment,
    last: moment,
    worst: moment,
    late: false,
    foundMs: silence.foundMs,
    cameBack: null,
    unseen: null,
    taken: null,
    done: null,
  };
}

export function joinSilence(flag: FlagState, silence: Silence): FlagState {
  return { ...flag, signals: flag.signals + 1, last: { ...flag.last, atMs: silence.sinceMs } };
}
