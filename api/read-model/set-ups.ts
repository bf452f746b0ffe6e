import type { Site, Station } from "../../collector/platform/settings/site.ts";
import { PAST_MS, setUpId } from "../../collector/store/entries.ts";
import type { Journal } from "../../collector/store/journal.ts";
import type { StoredEntry } from "../../spc/model/journal-entry.ts";
import { type SaidSetUp, saidAt } from "../../spc/segment/set-ups.ts";
import type { WireSetUp, WireSetUpBook, WireSetUpStation } from "../contract/set-up-wire.ts";
import { instant, instantOrNull } from "./wire-form.ts";

/** Runs among which the newest of the first kind is looked for. */
const lookedThrough = 40;

type SetUpEntry = Extract<StoredEntry, { kind: "set-up" }>;

/** What can be set up where, what people said, and what the newest run had. */
export function setUpPage(site: Site, journal: Journal, nowMs: number): WireSetUpBook {
  const stations = site.stations.filter(({ context }) => context.length > 0);
  return { now: instant(nowMs), stations: stations.map((station) => stationOf(station, journal, nowMs)) };
}

/** Entries of a station, or of all, newest first by when they were said. */
export function setUpEntries(
  journal: Journal,
  { station, limit }: { readonly station?: string; readonly limit: number },
): readonly WireSetUp[] {
  const found = setUps(journal, { ...(station === undefined ? {} : { station }), limit, newestFirst: true });
  const known = heardFrom(journal, station);
  const after = new Map(
    setUps(journal, station === undefined ? {} : { station }).flatMap(({ id, body }) =>
      body.instead === null ? [] : [[body.instead, setUpId(id)] as const],
    ),
  );
  return found.map((entry) => wireSetUp(entry, known, after));
}

/** One entry as it stands. */
export function setUpOne(journal: Journal, id: string, station: string): WireSetUp {
  const found = setUpEntries(journal, { station, limit: mostOfStation }).find((one) => one.id === id);
  if (found === undefined) throw new RangeError(`no set-up ${id} at ${station}`);
  return found;
}

/** A station is set up some dozen times a day. */
const mostOfStation = 1_000_000;

function stationOf({ id, stage, line, context, runWord }: Station, journal: Journal, nowMs: number): WireSetUpStation {
  const entries = setUps(journal, { station: id });
  const words = saidAt(entries.map(saidOf), nowMs, Number.MAX_SAFE_INTEGER);
  const byOf = (key: string, sinceMs: number): string =>
    entries.findLast(({ body }) => body.fromMs === sinceMs && Object.hasOwn(body.words, key))?.body.by ?? "";
  return {
    ...{ station: id, stage, line },
    words: context.map(({ key, name, choices, prefix }) => ({ key, name, choices: [...choices], prefix })),
    now: Object.fromEntries(
      Object.entries(words).flatMap(([key, { word, sinceMs }]) =>
        word === "" ? [] : [[key, { word, since: instant(sinceMs), by: byOf(key, sinceMs) }]],
      ),
    ),
    lastRun: lastRunOf(journal, id, runWord),
  };
}

function lastRunOf(journal: Journal, station: string, runWord: string): WireSetUpStation["lastRun"] {
  const newest = journal.read({ kinds: ["run"], station, orderBy: "time", newestFirst: true, limit: lookedThrough });
  for (const entry of newest) {
    if (entry.kind !== "run") continue;
    const { run, imported } = entry.body;
    if (imported || run.kind !== undefined || run.closedBy === "by-hand") continue;
    return { id: run.id, runWord, start: instant(run.startMs), context: { ...run.context } };
  }
  return null;
}

function saidOf({ id, body: { words, fromMs, instead } }: SetUpEntry): SaidSetUp {
  return { id: setUpId(id), words, fromMs, heardMs: 0, instead };
}

function setUps(
  journal: Journal,
  query: { readonly station?: string; readonly limit?: number; readonly newestFirst?: boolean },
): readonly SetUpEntry[] {
  return journal.read({ kinds: ["set-up"], ...query }).flatMap((entry) => (entry.kind === "set-up" ? [entry] : []));
}

function heardFrom(journal: Journal, station: string | undefined): ReadonlyMap<string, number> {
  return new Map(
    journal
      .read({ kinds: ["set-up-heard"], ...(station === undefined ? {} : { station }) })
      .flatMap((entry) => (entry.kind === "set-up-heard" ? [[entry.body.setUp, entry.body.heardMs] as const] : [])),
  );
}

function wireSetUp(
  { id: entry, station, body }: SetUpEntry,
  known: ReadonlyMap<string, number>,
  after: ReadonlyMap<string, string>,
): WireSetUp {
  const id = setUpId(entry);
  const { words, fromMs, saidMs, by, note, instead, reason } = body;
  return {
    ...{ id, station, by, note, instead, reason },
    words: { ...words },
    from: instant(fromMs),
    saidAt: instant(saidMs),
    late: saidMs - fromMs > PAST_MS,
    knownFrom: instantOrNull(known.get(id)),
    replacedBy: after.get(id) ?? null,
  };
}
