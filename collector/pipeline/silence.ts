import { silenceCause } from "../../spc/health/gateway-silence.ts";
import type { JournalEntry, Silence } from "../../spc/model/journal-entry.ts";
import type { Site, Station } from "../platform/settings/site.ts";
import { compactTime, silenceEntry } from "../store/entries.ts";
import type { Journal } from "../store/journal.ts";
import type { SampleStore } from "../store/sample-store.ts";
import { type ExpectedSeries, expectedSeries } from "./expected-series.ts";
import { listened } from "./listened.ts";
import { isTooQuiet } from "./quiet-source.ts";

/** Intervals without a reading, and the least time, until an instrument is said to be silent. */
const INTERVALS = 10;
const LEAST_MS = 60_000;

export interface SilenceInput {
  readonly nowMs: number;
  openSinceMs(station: string): number | null;
  /** Source time up to which the station is cut; without end where nothing waits. */
  cutMs(station: string): number;
  catchingUp(source: string): boolean;
  talking(source: string): boolean;
}

export interface SilenceWatch {
  /** Silences that have just become flags. */
  look(input: SilenceInput): readonly JournalEntry[];
}

/**
 * Watches for instruments that fell silent. A clock decides it, so the finding goes into the journal, where a replay
 * takes it as it is. A flag that is still open takes further silences of the same instrument; only a person closes it.
 */
export function silenceWatch(site: Site, store: SampleStore, journal: Journal): SilenceWatch {
  const known = new Map<string, Silence>();
  const listening = listened();
  for (const entry of journal.read({ kinds: ["silence"] })) if (entry.kind === "silence") remember(entry.body);

  function remember(silence: Silence): void {
    known.set(subjectOf(silence), silence);
  }

  /** A silence of the subject since that time: in the flag that is open on it, in a new one, or nothing new at all. */
  function found(subject: Omit<Silence, "flag" | "foundMs">, nowMs: number): readonly JournalEntry[] {
    const before = known.get(subjectOf(subject));
    if (before !== undefined && before.sinceMs >= subject.sinceMs) return [];
    const joins = before !== undefined && !isDone(journal, before.flag);
    const flag = joins ? before.flag : `${subjectOf(subject)}:${compactTime(subject.sinceMs)}`;
    const silence = { ...subject, flag, foundMs: nowMs };
    remember(silence);
    return [silenceEntry(silence)];
  }

  function lookAtSource(
    settings: Site["sources"][number],
    stations: readonly Station[],
    input: SilenceInput,
  ): readonly JournalEntry[] {
    const source = settings.id;
    if (input.catchingUp(source)) return [];
    const { nowMs } = input;
    const newestMs = store.newestBySource().get(source);
    if (newestMs === undefined) return [];
    // A source that talks is judged on its own time: it may run late, or still send the end of its past.
    const hereMs = input.talking(source) ? Math.min(nowMs, newestMs) : nowMs;
    const expected = stations.flatMap((station) => expectedSeries(store, station, input.openSinceMs(station.id)));
    const spoke = expected.filter((one) => one.sinceMs !== null);
    const sourceQuietMs = Math.min(hereMs - newestMs, listening.quietMs(source, newestMs));
    const cause = silenceCause({
      spoke,
      // Whether a run is open is known up to where its station is cut.
      isSilent: (one) => isSilent(one, one.inRun ? Math.min(hereMs, input.cutMs(one.series.station)) : hereMs),
      sourceQuiet: sourceQuietMs >= LEAST_MS / 2,
    });
    const gateway = (series: readonly string[]): readonly JournalEntry[] =>
      found({ station: stations[0]!.id, series, source, wholeSource: true, sinceMs: newestMs }, nowMs);
    if (cause.kind === "gateway") return gateway(cause.silent.map((one) => one.series.id));
    // Between runs none of its instruments promises anything: then only that the gateway never is so quiet tells.
    if (isTooQuiet(settings, site.shiftClock, nowMs, sourceQuietMs))
      return gateway(stations.flatMap((station) => Object.values(station.series).map(({ id }) => id)));
    if (cause.kind === "none" || cause.kind === "wait") return [];
    return cause.silent.flatMap((one) => {
      const { id, station } = one.series;
      return found({ station, series: [id], source, wholeSource: false, sinceMs: one.sinceMs! }, nowMs);
    });
  }

  /** By the time of its source and by ours: a connection that was read to its end says nothing of one that was not yet. */
  function isSilent({ series, everyMs, sinceMs }: ExpectedSeries, hereMs: number): boolean {
    if (sinceMs === null) return false;
    const quietMs = Math.min(hereMs - sinceMs, listening.quietMs(series.id, sinceMs));
    return quietMs > Math.max(INTERVALS * everyMs, LEAST_MS);
  }

  return {
    look: (input) => {
      listening.look(input.nowMs);
      return site.sources.flatMap((source) => {
        const stations = site.stations.filter((station) => station.source === source.id);
        return stations.length === 0 ? [] : lookAtSource(source, stations, input);
      });
    },
  };
}

/** What the flag is named after: a source or an instrument, in characters that a URL may carry. */
function subjectOf({ source, series, wholeSource }: Pick<Silence, "source" | "series" | "wholeSource">): string {
  return wholeSource ? `${source}:silence` : `${series.join("+").replaceAll("/", ".")}:silence`;
}

function isDone(journal: Journal, flag: string): boolean {
  return journal.read({ kinds: ["done"], subject: flag, limit: 1 }).length > 0;
}
