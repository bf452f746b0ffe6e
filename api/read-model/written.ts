import type { Site } from "../../collector/platform/settings/site.ts";
import { PAST_MS, writtenDownId } from "../../collector/store/entries.ts";
import type { Journal, JournalQuery } from "../../collector/store/journal.ts";
import type { RunRecord, StoredEntry } from "../../spc/model/journal-entry.ts";
import { handRuns } from "../../spc/monitor/hand-runs.ts";
import type { WireHandBook, WireHandField, WireWritten } from "../contract/hand-wire.ts";
import { correctionsOf, handPlans } from "../hand-book.ts";
import { instant } from "./wire-form.ts";

/** Values of one entry. */
const mostValues = 25;
/** Entries after a run's start among which those of the run are looked for: some weeks of a busy station. */
const mostLookedAt = 1_000;

type WrittenEntry = Extract<StoredEntry, { kind: "written-down" }>;

/** What there is to write down, with what was written last. */
export function handBookPage(site: Site, journal: Journal, nowMs: number): WireHandBook {
  const stations = site.stations.flatMap(({ id, stage, line }) => {
    const fields = handPlans(site, id).map(({ plan, byHand }): WireHandField => {
      const { name, quantity, reference, digits, everyMs } = plan.characteristic(null);
      const { feature, by, parts } = plan;
      const byPart = by.includes("part");
      const [last] = writtenEntries(journal, { subject: `${id}:${feature}`, limit: 1 });
      return {
        ...{ feature, name, quantity, reference, digits, everyMs, byPart, parts: [...parts] },
        ...byHand,
        last: last === undefined ? null : lastOf(journal, last),
      };
    });
    return fields.length === 0 ? [] : [{ station: id, stage, line, fields }];
  });
  return { now: instant(nowMs), stations };
}

/** Entries by when they were taken, newest first. */
export function writtenEntries(
  journal: Journal,
  query: Pick<JournalQuery, "station" | "subject" | "limit">,
): readonly WrittenEntry[] {
  return journal
    .read({ kinds: ["written-down"], orderBy: "time", newestFirst: true, ...query })
    .flatMap((entry) => (entry.kind === "written-down" ? [entry] : []));
}

/** Entries of a run of a machine, and of a run by hand the entry that made it; oldest first. */
export function writtenOfRun(journal: Journal, { run }: RunRecord): readonly WireWritten[] {
  // What was measured of a run was taken during it or later, and the values of one entry lie milliseconds apart.
  const fromMs = run.startMs - mostValues;
  return journal
    .read({ kinds: ["written-down"], station: run.station, fromMs, orderBy: "time", limit: mostLookedAt })
    .flatMap((entry) => (entry.kind === "written-down" ? [wireWritten(journal, entry)] : []))
    .filter(({ ofRun, runs }) => ofRun === run.id || runs.includes(run.id));
}

export function wireWritten(journal: Journal, { id: entry, station, body }: WrittenEntry): WireWritten {
  const id = entry.slice(writtenDownId("").length);
  const { feature, unit, by, note, ofRun, takenMs, writtenMs } = body;
  return {
    ...{ id, station, feature, unit, by, note, ofRun },
    values: [...body.values],
    context: { ...body.context },
    takenAt: instant(takenMs),
    writtenAt: instant(writtenMs),
    late: writtenMs - takenMs > PAST_MS,
    runs: handRuns(station, body).map(({ run }) => run.id),
    corrections: correctionsOf(journal, id).map((one) => ({
      ...{ by: one.by, at: instant(one.atMs), reason: one.reason },
      values: [...one.values],
    })),
  };
}

function lastOf(journal: Journal, entry: WrittenEntry): NonNullable<WireHandField["last"]> {
  const { values, by, takenAt, corrections } = wireWritten(journal, entry);
  const newest = corrections.at(-1) ?? { values, by };
  return { values: newest.values, by: newest.by, takenAt };
}
