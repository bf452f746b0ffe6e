import { pino } from "pino";
import { pipeline } from "../../collector/pipeline/pipeline.ts";
import { memoryBus } from "../../collector/platform/bus.ts";
import { systemClock } from "../../collector/platform/clock.ts";
import type { Site } from "../../collector/platform/settings/site.ts";
import { openSiteData } from "../../collector/start.ts";
import { openJournal } from "../../collector/store/embedded/embedded-journal.ts";
import { limitsEntry } from "../../collector/store/entries.ts";
import type { StoredEntry } from "../../spc/model/journal-entry.ts";
import type { LimitSet } from "../../spc/model/limit-set.ts";
import { pressLimits } from "../press-limits.ts";

/** What the product made of a stream: everything but when it found it. */
export interface Found {
  readonly runs: readonly unknown[];
  /** Of each characteristic in the order of its axis. */
  readonly points: readonly unknown[];
  /** With the id of the flag that each opened or joined. */
  readonly signals: readonly unknown[];
}

/**
 * Finishes what a stopped product left for its next start, and reads what is in the journal. What the clock found of
 * the outage itself (silence) is not among it.
 */
export async function whatWasFound(folder: string, site: Site): Promise<Found> {
  const data = openSiteData(folder, site);
  const { samples: store, journal } = data;
  const log = pino({ level: "silent" });
  await pipeline({ site, store, journal, clock: systemClock, bus: memoryBus(), log }).drain();
  const entries = journal.read({ kinds: ["run", "point", "signal"] });
  data.close();
  const of = (kind: StoredEntry["kind"], body: (entry: StoredEntry) => unknown): readonly unknown[] =>
    entries
      .filter((entry) => entry.kind === kind)
      .map((entry) => ({ id: entry.id, subject: entry.subject, body: body(entry) }))
      // Stations take turns as they please: the order within one subject is what counts.
      .sort((a, b) => (a.subject < b.subject ? -1 : a.subject > b.subject ? 1 : 0));
  return {
    runs: of("run", (entry) => entry.body),
    points: of("point", (entry) => entry.body),
    signals: of("signal", (entry) => (entry.kind === "signal" ? entry.body.signal : null)),
  };
}

/** Limits far too narrow for the plant's presses, so that a short stream has signals in plenty. */
export function putLimits(folder: string): void {
  const journal = openJournal(folder);
  journal.append(
    ["PR-01", "PR-02", "PR-03", "PR-04"].map((station) => limitsEntry(station, narrow(`${station}:mold.plateau`))),
  );
  journal.close();
}

function narrow(characteristic: string): LimitSet {
  return pressLimits(characteristic, {
    location: { centre: 0.9, lower: 0.897, upper: 0.903, sigma: 0.001 },
    spread: { centre: 0.0011, lower: 0, upper: 0.0037, sigma: 0.0009 },
    reason: "narrow on purpose, for the kill test",
  });
}
