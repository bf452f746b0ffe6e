import type { Clock } from "../../collector/platform/clock.ts";
import { Fault } from "../../collector/platform/fault.ts";
import type { CollectorStatus, CollectorView, LineAway, LineStates, StationFreshness } from "../../collector/start.ts";
import type { ReadingPort } from "../../collector/store/reading-port.ts";
import type { LineSite, Lines } from "./central-site.ts";

/** The collectors of all lines, as far as their copies tell. */
export function centralCollector(
  { lines, unread }: Lines,
  states: LineStates,
  readings: ReadingPort,
  clock: Clock,
): CollectorView {
  const startedMs = clock.nowMs();
  const freshness = (): readonly StationFreshness[] => {
    const byLine = new Map(states().map((state) => [state.line, state]));
    return lines.flatMap(({ id, site }): readonly StationFreshness[] => {
      const state = byLine.get(id);
      const told = state?.head?.freshness ?? [];
      return site.stations.map(({ id: station, source }) => {
        const one = told.find((other) => other.station === station);
        const none = { missing: null, refused: null, late: null, clockMs: null, overdue: null, openSinceMs: null };
        if (one === undefined) return { station, source, newestMs: null, state: "never", ...none };
        // What a line said before it was cut off says nothing of now.
        if (state?.awaySinceMs === null) return one;
        return { ...one, overdue: null, state: one.newestMs === null ? "never" : "silent" };
      });
    });
  };
  const cutOff = (): readonly LineAway[] =>
    states().flatMap(({ line, awaySinceMs, damaged }): readonly LineAway[] => {
      if (damaged !== null) return [{ line, trouble: "damaged", sinceMs: awaySinceMs ?? clock.nowMs() }];
      return awaySinceMs === null ? [] : [{ line, trouble: "away", sinceMs: awaySinceMs }];
    });
  const status = (): CollectorStatus => ({
    source: { connected: true, detail: "shows lines", unacknowledged: 0, reconnects: 0, broker: null },
    intake: { fault: null, waiting: 0, unconfirmed: 0, commits: 0, refused: new Map(), clockOffsetsMs: new Map() },
    ...{ lagMs: new Map(), letGo: 0, awaySinceMs: null },
    linesAway: [
      ...unread.map(({ id }): LineAway => ({ line: id, trouble: "unread", sinceMs: startedMs })),
      ...cutOff(),
    ],
  });
  return {
    ...{ messages: null, readings, longTerm: null, status, freshness },
    post: () => Promise.resolve(new Fault("collector-away", "readings are taken at the line", { retryable: false })),
  };
}

/** Readings of each line from the long-term store that all of them copy into. */
export function readingsOfLines(lines: readonly LineSite[], of: (line: LineSite) => ReadingPort | null): ReadingPort {
  const byStation = new Map(
    lines.flatMap((line) => {
      const port = of(line);
      return port === null ? [] : line.site.stations.map(({ id }) => [id, port] as const);
    }),
  );
  const portOf = (series: string): ReadingPort | undefined => byStation.get(series.slice(0, series.indexOf("/")));
  return {
    read: async (range, options) => (await portOf(range.series)?.read(range, options)) ?? [],
    trend: async (range, columns) => (await portOf(range.series)?.trend(range, columns)) ?? [],
  };
}
