import type { JournalEntry } from "../../../spc/model/journal-entry.ts";
import type { Signal } from "../../../spc/model/signal.ts";

/** What a fault brought: signals and instruments' flags that the twin without faults does not have. */
export interface Beyond {
  readonly signals: readonly Signal[];
  readonly instruments: readonly InstrumentFlag[];
  readonly commons: readonly Extract<JournalEntry, { kind: "common" }>["body"][];
}

interface InstrumentFlag {
  readonly station: string;
  readonly series: readonly string[];
  readonly atMs: number;
  readonly decided: boolean;
}

export function beyondTwin(faulty: readonly JournalEntry[], twin: readonly JournalEntry[]): Beyond {
  const signals = new Set(twin.flatMap((entry) => (entry.kind === "signal" ? [keyOf(entry.body.signal)] : [])));
  // An instrument's flag of the twin explains one in the plant where it is on at the same time.
  const others = instrumentsOf(twin);
  return {
    signals: faulty.flatMap((entry) => {
      if (entry.kind !== "signal" || signals.has(keyOf(entry.body.signal))) return [];
      return [entry.body.signal];
    }),
    instruments: instrumentsOf(faulty).filter(
      (one) =>
        !others.some(
          (other) =>
            other.series.some((series) => one.series.includes(series)) && Math.abs(other.atMs - one.atMs) < 60_000,
        ),
    ),
    commons: faulty.flatMap((entry) => (entry.kind === "common" ? [entry.body] : [])),
  };
}

function keyOf({ characteristic, run, on, rule, side }: Signal): string {
  return `${characteristic}/${run}/${on}/${rule}/${side}`;
}

function instrumentsOf(entries: readonly JournalEntry[]): InstrumentFlag[] {
  return entries.flatMap((entry): InstrumentFlag[] => {
    if (entry.kind === "silence") {
      const { station, series, foundMs } = entry.body;
      return [{ station, series, atMs: foundMs, decided: true }];
    }
    if (entry.kind !== "instrument" || entry.body.state !== "began") return [];
    const { station, series, atMs, verdict } = entry.body;
    return [{ station, series: [series], atMs, decided: verdict === "fault" }];
  });
}
