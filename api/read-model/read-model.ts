import type { Site } from "../../collector/platform/settings/site.ts";
import type { Journal } from "../../collector/store/journal.ts";
import { runsOfPoint } from "../../spc/model/characteristic.ts";
import type { PointRecord, RunRecord, StoredEntry } from "../../spc/model/journal-entry.ts";
import { applyToProposals, noProposals, type ProposalTable } from "../../spc/proposal/proposal-state.ts";
import type { LiveFrame, WireCharacteristic, WireFlag, WireFloor, WirePoint } from "../contract/wire.ts";
import type { Page } from "../paging.ts";
import { besideOf } from "./beside.ts";
import { changesIn } from "./changes.ts";
import { addPoint, addRun, type Charted, chartedSet, limitsInForce } from "./charted.ts";
import { type FlagBook, flagBook, flagOf } from "./flag-book.ts";
import { importedPoints } from "./imported-points.ts";
import { entriesAtOnce, loadCharts, loadDecided, loadRecent } from "./load.ts";
import { onFloor } from "./on-floor.ts";
import { type PointQuery, pointPage } from "./point-pages.ts";
import { wireCharacteristic, wirePoint } from "./wire-characteristic.ts";

/** What a page needs to be told after a place in the journal. */
export type Changes = Omit<Extract<LiveFrame, { readonly type: "changes" }>, "type" | "now">;

/** What the journal says, ready to be asked: built once, then kept up with what the journal gains. */
export interface ReadModel {
  /** Journal place up to which all answers hold. */
  readonly seq: number;
  /** Reads what the journal has; until it resolves the answers are incomplete. Lets other work pass meanwhile. */
  load(): Promise<void>;
  /** Takes in what the journal has gained. */
  catchUp(): void;
  /** Calls the listener after every gain; returns how to stop. */
  onGrowth(listener: () => void): () => void;
  characteristicIds(): readonly string[];
  characteristic(id: string, nowMs: number): WireCharacteristic | undefined;
  /** What the Floor shows of it, with at most so many of its newest points. */
  onFloor(id: string, most: number, nowMs: number): WireFloor["characteristics"][number] | undefined;
  points(id: string, query: PointQuery, nowMs: number): Page<WirePoint> | undefined;
  run(id: string): RunRecord | undefined;
  pointsOfRun(record: RunRecord, nowMs: number): WirePoint[];
  characteristicsOfRun(record: RunRecord, nowMs: number): WireCharacteristic[];
  flagsOfRun(id: string): WireFlag[];
  /** In list order. */
  flags(): readonly WireFlag[];
  readonly book: FlagBook;
  flag(id: string): WireFlag | undefined;
  charted(): Iterable<Charted>;
  chartedOf(id: string): Charted | undefined;
  proposals(): ProposalTable;
  totals(): { readonly runs: number; readonly points: number; readonly signals: number };
  changesSince(seq: number): Changes | "too-much";
}

/** More than this is not resent; the page asks for everything anew. */
const mostResent = 2_000;

export function readModel(site: Site, journal: Journal): ReadModel {
  const set = chartedSet(site);
  const book = flagBook((id) => set.all.get(id)?.characteristic ?? null, besideOf(site, set));
  const listeners = new Set<() => void>();
  const made = new Map<
    string,
    { readonly seq: number; readonly limits: string | undefined; readonly wire: WireCharacteristic }
  >();
  let runs = 0;
  let seq = 0;
  let proposals: ProposalTable = noProposals;

  const apply = (entries: readonly StoredEntry[]): void => {
    book.apply(entries);
    proposals = applyToProposals(proposals, entries);
    for (const entry of entries) applyOne(entry);
  };
  const applyOne = (entry: StoredEntry): void => {
    if (entry.kind === "run") {
      runs += 1;
      addRun(set.ofRun(entry.body), entry.body, entry.seq);
    } else if (entry.kind === "point") {
      // Of characteristics that the settings no longer have, the journal alone keeps the points.
      const charted = set.all.get(entry.body.characteristic);
      if (charted !== undefined) addPoint(charted, entry.body, entry.seq);
    } else if (entry.kind === "limits") {
      const charted = set.all.get(entry.body.characteristic);
      charted?.limitSets.push(entry.body);
      if (charted !== undefined) charted.seq = Math.max(charted.seq, entry.seq);
    } else touchFlagged(entry);
  };
  /** What is shown of a characteristic depends on its flags as well. */
  const touchFlagged = (entry: StoredEntry): void => {
    const flag = flagOf(entry);
    const id = flag === null ? null : book.find(flag)?.characteristic;
    const charted = id == null ? undefined : set.all.get(id);
    if (charted !== undefined) charted.seq = Math.max(charted.seq, entry.seq);
  };

  const wireOf = (charted: Charted, nowMs: number): WireCharacteristic => {
    const limits = limitsInForce(charted, nowMs);
    const { id } = charted.characteristic;
    const known = made.get(id);
    if (known?.seq === charted.seq && known.limits === limits?.id) return known.wire;
    const wire = wireCharacteristic(charted, limits, book);
    made.set(id, { seq: charted.seq, limits: limits?.id, wire });
    return wire;
  };
  const wirePoints = (points: readonly PointRecord[]): WirePoint[] => points.map((point) => wirePoint(point, book));

  return {
    get seq() {
      return seq;
    },
    load: async () => {
      const upTo = journal.lastSeq();
      runs = journal.count("run", upTo);
      await loadCharts(site, journal, set, upTo);
      await loadDecided(journal, upTo, apply);
      await loadRecent(journal, set, upTo);
      seq = upTo;
    },
    catchUp: () => {
      const before = seq;
      for (;;) {
        const entries = journal.read({ afterSeq: seq, limit: entriesAtOnce });
        apply(entries);
        seq = entries.at(-1)?.seq ?? seq;
        if (entries.length < entriesAtOnce) break;
      }
      if (seq !== before) for (const listener of listeners) listener();
    },
    onGrowth: (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    characteristicIds: () => [...set.all.keys()],
    characteristic: (id, nowMs) => {
      const charted = set.all.get(id);
      return charted === undefined ? undefined : wireOf(charted, nowMs);
    },
    onFloor: (id, most, nowMs) => {
      const charted = set.all.get(id);
      return charted === undefined ? undefined : onFloor(charted, limitsInForce(charted, nowMs), book, most);
    },
    points: (id, query, nowMs) => {
      const charted = set.all.get(id);
      if (charted === undefined) return undefined;
      const { items, next } = pointPage(journal, charted, query, nowMs);
      return { items: wirePoints(items), next };
    },
    run: (id) => {
      const [entry] = journal.read({ kinds: ["run"], subject: id, limit: 1 });
      return entry?.kind === "run" ? entry.body : undefined;
    },
    pointsOfRun: (record, nowMs) => {
      const charted = set.ofRun(record);
      return wirePoints(record.imported ? importedOf(charted, record, nowMs) : streamedOf(journal, charted, record));
    },
    characteristicsOfRun: (record, nowMs) => set.ofRun(record).map((charted) => wireOf(charted, nowMs)),
    flagsOfRun: (id) => [...book.ofRun(id)],
    flags: () => book.inListOrder(),
    book,
    flag: (id) => book.find(id),
    charted: () => set.all.values(),
    chartedOf: (id) => set.all.get(id),
    proposals: () => proposals,
    totals: () => {
      const points = [...set.all.values()].reduce((sum, { streamed }) => sum + streamed, 0);
      return { runs, points, signals: book.signals };
    },
    changesSince: (after) => {
      const entries = after > seq ? null : journal.read({ afterSeq: after, limit: mostResent + 1 });
      if (entries === null || entries.length > mostResent) return "too-much";
      const known = entries.filter((entry) => entry.seq <= seq);
      return { seq, ...changesIn(known, set, book) };
    },
  };
}

function importedOf(charted: readonly Charted[], { run }: RunRecord, nowMs: number): PointRecord[] {
  return charted.flatMap((one) => {
    const at = one.imported.placeOf(run.id);
    if (at < 0) return [];
    return importedPoints(one.characteristic, one.imported, limitsInForce(one, nowMs), at, at + 1);
  });
}

/** Points that a run is part of: its own, and those of subgroups that were full only after it. */
function streamedOf(journal: Journal, charted: readonly Charted[], { run }: RunRecord): PointRecord[] {
  const most = Math.max(1, ...charted.map(({ characteristic }) => runsOfPoint(characteristic)));
  const from = { fromMs: run.endMs, orderBy: "time" } as const;
  // Each run after it gives a point on every other chart of the station before the subgroup's own point comes.
  const span = most === 1 ? { ...from, toMs: run.endMs + 1 } : { ...from, limit: 4 * most * (charted.length + 1) };
  const entries = journal.read({ kinds: ["point"], station: run.station, ...span });
  return entries.flatMap((entry) => (entry.kind === "point" && holds(entry.body, run.id) ? [entry.body] : []));
}

function holds({ run, members }: PointRecord, id: string): boolean {
  return run === id || (members ?? []).some((member) => member.run === id);
}
