import type { Journal, JournalQuery } from "../../collector/store/journal.ts";
import { writtenSpacing } from "../../spc/charts/written-spacing.ts";
import type { Characteristic } from "../../spc/model/characteristic.ts";
import type { RunRecord, StoredEntry } from "../../spc/model/journal-entry.ts";
import type { Outcome } from "../../spc/model/outcome.ts";
import { ok, refuse } from "../../spc/model/outcome.ts";
import { chartedValue } from "../../spc/model/plotted-as.ts";
import { settingOf } from "../../spc/model/run.ts";
import type { ChartWindow, StoredValue } from "../../spc/proposal/chart-window.ts";
import type { TrialAsk } from "../contract/bench-wire.ts";
import { mostWindowRuns } from "../contract/bench-wire.ts";

/** Runs of a station that are looked through, whatever their part. */
const mostRead = 20_000;
/** Runs that one replay judges: a tenth of a second. */
export const mostReplayed = 10_000;

/** Stored runs of one characteristic, imported ones too, in time order; read a few at a time. */
export function* windowSteps(
  journal: Journal,
  characteristic: Characteristic,
  ask: TrialAsk["window"],
  nowMs: number,
): Generator<undefined, Outcome<ChartWindow>> {
  if (ask.last === undefined) {
    const span = { fromMs: Date.parse(ask.from ?? ""), toMs: Date.parse(ask.to ?? "") };
    return yield* spanSteps(journal, characteristic, span, mostWindowRuns);
  }
  const runs = yield* newestRuns(journal, characteristic, ask.last, ask.to);
  const first = runs[0]?.atMs ?? nowMs;
  // The end is written as the moment after the newest run, so that the same window can be asked for again.
  const last = runs.at(-1)?.atMs ?? nowMs;
  return ok(chartWindow(characteristic, { fromMs: first, toMs: last + 1 }, runs));
}

/** All runs of a span, or a refusal where they are more than `most`. */
export function* spanSteps(
  journal: Journal,
  characteristic: Characteristic,
  span: { readonly fromMs: number; readonly toMs: number },
  most: number,
): Generator<undefined, Outcome<ChartWindow>> {
  const query = { kinds: ["run"], station: characteristic.station, ...span } as const;
  const entries = yield* newestFirst(journal, query, mostRead + 1);
  const runs = entries.flatMap((entry) => (entry.kind === "run" ? storedValue(entry.body, characteristic) : []));
  if (runs.length > most || entries.length > mostRead) {
    const detail = `the span holds more than ${most} runs: choose a shorter one`;
    return refuse("too-many", detail, { needs: most, has: runs.length });
  }
  return ok(chartWindow(characteristic, span, runs.reverse()));
}

/** Entries read at a time: some milliseconds. */
const readAtOnce = 200;

/** Entries of a span, the newest first and at most so many, read a few at a time. */
export function* newestFirst(
  journal: Journal,
  query: JournalQuery & { readonly toMs: number },
  most: number,
): Generator<undefined, readonly StoredEntry[]> {
  const out: StoredEntry[] = [];
  let { toMs } = query;
  let limit = readAtOnce;
  let met = new Set<string>();
  while (out.length < most) {
    const read = journal.read({ ...query, toMs, orderBy: "time", newestFirst: true, limit });
    const fresh = read.filter(({ id }) => !met.has(id));
    out.push(...fresh);
    if (read.length < limit) break;
    // Several may have ended at the very same moment: those are met again, and told by their names.
    const oldest = read.at(-1)!.atMs;
    if (fresh.length === 0) limit *= 2;
    met = new Set(out.filter(({ atMs }) => atMs === oldest).map(({ id }) => id));
    toMs = oldest + 1;
    yield;
  }
  return out.slice(0, most);
}

function* newestRuns(
  journal: Journal,
  characteristic: Characteristic,
  most: number,
  to: string | undefined,
): Generator<undefined, readonly StoredValue[]> {
  // Source time may be a little ahead of our clock: the newest are the newest.
  const toMs = to === undefined ? Number.MAX_SAFE_INTEGER : Date.parse(to);
  const query = { kinds: ["run"], station: characteristic.station, toMs } as const;
  // Where charts are by part, others' runs lie between.
  for (const limit of [4 * most, mostRead]) {
    const entries = yield* newestFirst(journal, query, limit);
    const runs = entries.flatMap((entry) => (entry.kind === "run" ? storedValue(entry.body, characteristic) : []));
    if (runs.length >= most || entries.length < limit || limit === mostRead) return runs.slice(0, most).reverse();
  }
  return [];
}

function chartWindow(
  { everyMs }: Characteristic,
  span: { readonly fromMs: number; readonly toMs: number },
  runs: readonly StoredValue[],
): ChartWindow {
  // A history that somebody wrote down has wider pauses; runs that we saw ourselves have none but their own.
  const written = runs.some(({ imported }) => imported);
  const times = runs.map(({ atMs }) => atMs);
  return { ...span, everyMs: written ? writtenSpacing(times, everyMs) : everyMs, runs };
}

function storedValue(record: RunRecord, characteristic: Characteristic): StoredValue[] {
  const { run, imported } = record;
  const found = chartedValue(record, characteristic);
  if (found === undefined) return [];
  const { value, refusal } = found;
  const setting = settingOf(run, characteristic);
  return [{ run: run.id, atMs: run.endMs, imported, value, setting, ...(refusal === undefined ? {} : { refusal }) }];
}
