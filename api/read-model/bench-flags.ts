import type { Journal } from "../../collector/store/journal.ts";
import type { PointRecord } from "../../spc/model/journal-entry.ts";
import { type Outcome, refuse } from "../../spc/model/outcome.ts";
import type { Signal } from "../../spc/model/signal.ts";
import { sinceWhen } from "../../spc/proposal/since-when.ts";
import type { WireBench, WireChange } from "../contract/bench-wire.ts";
import type { WireFlag } from "../contract/wire.ts";
import type { Charted } from "./charted.ts";
import type { FlagBook } from "./flag-book.ts";
import { instant } from "./wire-form.ts";

/** Signals of one span that one answer holds. */
const mostSignals = 2_000;
/** Signals of one flag that are looked through for its first. */
const mostOfFlag = 5_000;

/** Flags with a run among these points, and the one that is open, oldest first. */
export function benchFlags(book: FlagBook, { characteristic }: Charted, points: readonly PointRecord[]): WireFlag[] {
  const runs = new Set(points.map(({ run }) => run));
  const open = book.openOn(characteristic.id);
  return book
    .inListOrder()
    .filter((flag) => flag.characteristic === characteristic.id)
    .filter((flag) => flag.id === open || flag.runs.some((run) => runs.has(run)))
    .toSorted((a, b) => a.number - b.number);
}

/** Signals at these points: what a bracket spans, and which line was crossed. */
export function benchSignals(
  journal: Journal,
  { characteristic }: Charted,
  points: readonly PointRecord[],
): WireBench["signals"] {
  const ids = new Set(points.flatMap(({ signals }) => signals));
  const times = points.filter(({ signals }) => signals.length > 0).map(({ atMs }) => atMs);
  if (times.length === 0) return [];
  const span = { fromMs: Math.min(...times), toMs: Math.max(...times) + 1 };
  const query = { kinds: ["signal"], subject: characteristic.id, ...span, limit: mostSignals } as const;
  return journal
    .read({ ...query, orderBy: "time" })
    .flatMap((entry) =>
      entry.kind === "signal" && ids.has(entry.body.signal.id) ? [wireSignal(entry.body.signal)] : [],
    );
}

function wireSignal({ id, rule, on, side, run, members, value, line, z, flag, limitSet }: Signal) {
  return { id, rule, on, side, run, members: [...members], value, line, z, flag, limitSet };
}

/** Where on the axis each flag was closed, as far as its *done* has taken effect. */
export function closedAfter(journal: Journal, { characteristic }: Charted): ReadonlyMap<string, string | null> {
  const ending = "/done";
  return new Map(
    journal
      .read({ kinds: ["applied"], subject: characteristic.id })
      .flatMap((entry) =>
        entry.kind === "applied" && entry.body.entry.endsWith(ending)
          ? [[entry.body.entry.slice(0, -ending.length), entry.body.afterRun] as const]
          : [],
      ),
  );
}

export function benchCauses(
  flags: readonly WireFlag[],
  closed: ReadonlyMap<string, string | null>,
): WireBench["causes"] {
  return flags.flatMap(({ id, number, done }) =>
    done === null ? [] : [{ flag: id, number, afterRun: closed.get(id) ?? null, ...done }],
  );
}

/** Since when the process has been off, for the flag that is open; null where none is. */
export function benchChange(
  journal: Journal,
  book: FlagBook,
  charted: Charted,
  closed: ReadonlyMap<string, string | null>,
): WireBench["change"] {
  const open = book.openOn(charted.characteristic.id);
  const flag = open === null ? undefined : book.find(open);
  if (flag === undefined) return null;
  const first = firstOnLocation(journal, charted, flag);
  const limits = charted.limitSets.find(({ id }) => id === first?.limitSet);
  if (first === undefined || limits === undefined) {
    return {
      flag: flag.id,
      found: { refusal: refused("no signal of the location chart is among the flag's").refusal },
    };
  }
  // The last of those that were closed: the map is in the order in which they took effect.
  const correctedAfter = [...closed.values()].at(-1) ?? null;
  const found = sinceWhen(charted.recent, limits, { run: first.run, correctedAfter });
  return { flag: flag.id, found: wireChange(found) };
}

function firstOnLocation(journal: Journal, { characteristic }: Charted, flag: WireFlag): Signal | undefined {
  const query = { kinds: ["signal"], subject: characteristic.id, fromMs: Date.parse(flag.first.at) } as const;
  for (const entry of journal.read({ ...query, orderBy: "time", limit: mostOfFlag })) {
    if (entry.kind !== "signal") continue;
    const { signal } = entry.body;
    if (signal.flag === flag.id && signal.on === "location") return signal;
  }
  return undefined;
}

function refused(detail: string) {
  return refuse("no-value", detail);
}

function wireChange(found: ReturnType<typeof sinceWhen> | Extract<Outcome<never>, { ok: false }>): WireChange {
  if (!found.ok) return { refusal: found.refusal };
  const { first, before, after, set, cautions } = found.value;
  return {
    ...{ run: first.run, at: instant(first.atMs), before, after },
    set: set.map(({ run }) => run),
    cautions: [...cautions],
  };
}
