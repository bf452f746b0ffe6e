import { setImmediate } from "node:timers/promises";
import type { Site } from "../../collector/platform/settings/site.ts";
import type { Journal, JournalQuery } from "../../collector/store/journal.ts";
import { characteristicId, runsOfPoint } from "../../spc/model/characteristic.ts";
import type { EntryKind, StoredEntry } from "../../spc/model/journal-entry.ts";
import { addPoint, addRun, type ChartedSet, recentPoints } from "./charted.ts";

export const entriesAtOnce = 5_000;
/** Newest runs of a station among which those are that wait for their subgroup to be full. */
const newestRuns = 300;

/**
 * Makes the charts, with what was imported and what waits for its subgroup. A year of runs is a gigabyte, so of streamed
 * ones only the newest are read, and one of each chart that only runs name.
 */
export async function loadCharts(site: Site, journal: Journal, set: ChartedSet, upTo: number): Promise<void> {
  await inParts(journal, { importedRuns: true }, upTo, (entries) => takeRuns(set, entries));
  for (const { id, plans } of site.stations) {
    const named = plans.filter(({ by }) => by.length > 0);
    for (const { feature } of named) loadNamed(journal, set, characteristicId(id, feature, ""), upTo);
    const grouped = plans.some((plan) => runsOfPoint(plan.characteristic(null)) > 1);
    if (named.length === 0 && !grouped) continue;
    const query = { kinds: ["run"], station: id, beforeSeq: upTo + 1, newestFirst: true, limit: newestRuns } as const;
    const streamed = journal.read(query).filter((entry) => entry.kind === "run" && !entry.body.imported);
    takeRuns(set, streamed.toReversed());
    await setImmediate();
  }
}

/** Charts of a part, or of a part and tool, that have points: what is on them is known from the run of the first. */
function loadNamed(journal: Journal, set: ChartedSet, beginning: string, upTo: number): void {
  for (const subject of journal.subjects("point", beginning)) {
    const [point] = journal.read({ kinds: ["point"], subject, beforeSeq: upTo + 1, limit: 1 });
    const [entry] = point?.kind === "point" ? journal.read({ kinds: ["run"], subject: point.body.run, limit: 1 }) : [];
    if (entry?.kind === "run") set.ofRun(entry.body);
  }
}

function takeRuns(set: ChartedSet, entries: readonly StoredEntry[]): void {
  for (const entry of entries) if (entry.kind === "run") addRun(set.ofRun(entry.body), entry.body, entry.seq);
}

/** What people and monitors decided: few enough to read from the first. */
export async function loadDecided(
  journal: Journal,
  upTo: number,
  apply: (entries: readonly StoredEntry[]) => void,
): Promise<void> {
  const kinds: readonly EntryKind[] = [
    ...(["signal", "limits", "taken", "done", "silence", "instrument", "common", "unseen"] as const),
    ...(["proposed", "agreed", "withdrawn"] as const),
  ];
  await inParts(journal, { kinds }, upTo, apply);
}

export async function loadRecent(journal: Journal, set: ChartedSet, upTo: number): Promise<void> {
  for (const charted of set.all.values()) {
    const query = { kinds: ["point"], subject: charted.characteristic.id, beforeSeq: upTo + 1 } as const;
    const newest = journal.read({ ...query, newestFirst: true, limit: recentPoints });
    for (const entry of newest.toReversed()) {
      if (entry.kind === "point") addPoint(charted, entry.body, Math.max(charted.seq, entry.seq));
    }
    await setImmediate();
  }
}

/** Reads all that a query asks for, and lets other work pass meanwhile. */
async function inParts(
  journal: Journal,
  query: JournalQuery,
  upTo: number,
  apply: (entries: readonly StoredEntry[]) => void,
): Promise<void> {
  for (let afterSeq = 0; ; ) {
    const entries = journal.read({ ...query, afterSeq, beforeSeq: upTo + 1, limit: entriesAtOnce });
    apply(entries);
    if (entries.length < entriesAtOnce) return;
    afterSeq = entries.at(-1)?.seq ?? upTo;
    await setImmediate();
  }
}
