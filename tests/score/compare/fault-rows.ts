import type { Site } from "../../../collector/platform/settings/site.ts";
import { faultKinds } from "../../../simulator/faults.ts";
import { baselineRuns } from "../../../spc/health/peer-drift.ts";
import type { Characteristic } from "../../../spc/model/characteristic.ts";
import { runsOfPoint, usualEwma } from "../../../spc/model/characteristic.ts";
import type { JournalEntry, PointRecord, RunRecord } from "../../../spc/model/journal-entry.ts";
import type { LimitSet } from "../../../spc/model/limit-set.ts";
import { chartedValue } from "../../../spc/model/plotted-as.ts";
import type { Side } from "../../../spc/model/signal.ts";
import { type Injected, restMs, stationsOf } from "../plan/random-faults.ts";
import { lawKey } from "../watch/fault-free.ts";
import { type Called, type CalledBy, calledBy } from "./called.ts";
import type { ProcessLaw } from "./chance.ts";
import { type ExpectedChart, type Judged, type Outcome, outcomeOf } from "./outcome.ts";
import { dependenceOf, foundBy } from "./run-length.ts";
import { type Beyond, beyondTwin } from "./twin.ts";

/** What became of one injected fault. */
export interface FaultRow {
  readonly seed: number;
  readonly fault: string;
  readonly place: string;
  readonly size: number | null;
  /** Times the size that matters; null where it has no size. */
  readonly times: number | null;
  readonly from: string;
  readonly to: string;
  readonly sensor: boolean;
  readonly outcome: Outcome | "unbuilt";
  /** Hours from its beginning until it was due, and found. */
  readonly dueHours: number | null;
  readonly foundHours: number | null;
  readonly called: Called;
  /** Largest shift of a chart that ought to show it, in healthy sigma. */
  readonly shift: number | null;
  readonly charts: readonly string[];
  /** Flags of stations that one supply feeds, and how many of them a person has before them. */
  readonly flags: { readonly all: number; readonly shown: number };
}

export interface Compared {
  readonly site: Site;
  readonly sets: ReadonlyMap<string, LimitSet>;
  readonly faulty: readonly JournalEntry[];
  readonly twin: readonly JournalEntry[];
  /** What truly was, by the run model. */
  readonly trueFaulty: readonly RunRecord[];
  readonly trueTwin: readonly RunRecord[];
  readonly laws: ReadonlyMap<string, ProcessLaw>;
  readonly means: ReadonlyMap<string, number>;
  readonly endMs: number;
}

const hourMs = 3_600_000;
const share = 0.99;
/** What a fault still moves after its end: runs that it began in, metal that it warmed. */
const tailMs = 8 * hourMs;
/** Whatever moves less is not moved. */
const leastShift = 0.05;

export function faultRows(seed: number, injected: readonly Injected[], all: Compared): FaultRow[] {
  const beyond = beyondTwin(all.faulty, all.twin);
  const index = indexOf(all);
  return injected.map((one) => rowOf(seed, one, all, beyond, index));
}

interface Index {
  /** Of the twin, by characteristic. */
  readonly points: ReadonlyMap<string, readonly PointRecord[]>;
  /** The same of the plant with faults, whose groups may begin elsewhere: whoever closes a flag begins one anew. */
  readonly groups: ReadonlyMap<string, readonly PointRecord[]>;
  readonly faulty: ReadonlyMap<string, RunRecord>;
  readonly twin: ReadonlyMap<string, RunRecord>;
  /** When each flag of the plant with faults got its first signal. */
  readonly openedMs: ReadonlyMap<string, number>;
}

function indexOf({ twin, faulty, trueFaulty, trueTwin }: Compared): Index {
  const byRun = (records: readonly RunRecord[]) => new Map(records.map((record) => [record.run.id, record]));
  const openedMs = new Map<string, number>();
  for (const entry of faulty) {
    if (entry.kind !== "signal") continue;
    const { flag, atMs } = entry.body.signal;
    openedMs.set(flag, Math.min(atMs, openedMs.get(flag) ?? atMs));
  }
  return {
    ...{ openedMs, points: pointsOf(twin), groups: pointsOf(faulty) },
    ...{ faulty: byRun(trueFaulty), twin: byRun(trueTwin) },
  };
}

function pointsOf(entries: readonly JournalEntry[]): Map<string, PointRecord[]> {
  const points = new Map<string, PointRecord[]>();
  for (const entry of entries) {
    if (entry.kind !== "point") continue;
    const { characteristic } = entry.body;
    const known = points.get(characteristic);
    if (known === undefined) points.set(characteristic, [entry.body]);
    else known.push(entry.body);
  }
  return points;
}

function rowOf(seed: number, one: Injected, all: Compared, beyond: Beyond, index: Index): FaultRow {
  const { fault, fromMs, toMs, times } = one;
  const kind = faultKinds.find(({ name }) => name === fault.name)!;
  const stations = stationsOf(fault);
  const charts = chartsOf(one, stations, all, index);
  const due = instrumentDue(one, all);
  const untilMs = Math.min(all.endMs, toMs + tailMs);
  const inside = (atMs: number): boolean => atMs >= fromMs && atMs <= untilMs;
  // What jumps from run to run has no direction: it finds nothing here.
  const signals = beyond.signals.filter(
    ({ station, atMs, on }) => stations.includes(station) && inside(atMs) && on !== "spread",
  );
  const instruments = beyond.instruments.filter(({ station, atMs }) => stations.includes(station) && inside(atMs));
  const blamed = kind.sensor ? instruments.filter(({ decided }) => decided)[0] : undefined;
  const built = charts.some(({ judged }) => judged) || asksItself(one);
  const judged: Judged = outcomeOf(charts, signals, due, blamed?.atMs ?? null);
  const right = signals.filter(({ characteristic, side }) =>
    charts.some((chart) => chart.characteristic === characteristic && chart.side === side),
  );
  const flags: CalledBy[] = [
    ...right.map(
      ({ atMs, label }): CalledBy => ({
        atMs,
        kind: label === "instrument-fault" ? "instrument" : "process",
        calls: label !== "for-review",
      }),
    ),
    ...instruments.map(
      ({ atMs, decided }): CalledBy => ({ atMs, kind: decided ? "instrument" : "undecided", calls: true }),
    ),
  ];
  const hours = (ms: number | null): number | null => (ms === null ? null : (ms - fromMs) / hourMs);
  return {
    ...{ seed, fault: fault.name, place: fault.station, size: fault.size ?? null, times },
    ...{ from: new Date(fromMs).toISOString(), to: new Date(toMs).toISOString(), sensor: kind.sensor },
    outcome: built ? judged.outcome : "unbuilt",
    ...{ dueHours: hours(judged.dueMs), foundHours: hours(judged.foundMs) },
    called: calledBy(flags, Math.max(judged.foundMs ?? 0, judged.dueMs ?? 0)),
    shift: charts.reduce<number | null>(
      (most, { shift }) => (Math.abs(shift) > Math.abs(most ?? 0) ? shift : most),
      null,
    ),
    charts: charts.map(({ characteristic, side }) => `${characteristic} ${side}`),
    flags: shownFlags(
      // Later ones are the next fault's.
      right.filter(({ flag }) => {
        const openedMs = index.openedMs.get(flag) ?? 0;
        return openedMs >= fromMs && openedMs <= toMs + restMs;
      }),
      beyond,
    ),
  };
}

/** How many flags it opened, and how many are left once those under a common cause count as one. */
function shownFlags(signals: Beyond["signals"], { commons }: Beyond): FaultRow["flags"] {
  const parents = new Map(commons.map(({ child, flag }) => [child, flag]));
  const all = new Set(signals.map(({ flag }) => flag));
  return { all: all.size, shown: new Set([...all].map((flag) => parents.get(flag) ?? flag)).size };
}

interface FoundChart extends ExpectedChart {
  /** It has limits or a specification: what nothing judges is `unbuilt`, what no point showed in time `censored`. */
  readonly judged: boolean;
  readonly shift: number;
}

function chartsOf(one: Injected, stations: readonly string[], all: Compared, index: Index): FoundChart[] {
  const kind = faultKinds.find(({ name }) => name === one.fault.name)!;
  const wanted: (readonly [string, Side])[] = [
    ...kind.signals.flatMap(({ feature, direction }): (readonly [string, Side])[] =>
      direction === "refused" ? [] : [[feature, direction === "up" ? "above" : "below"]],
    ),
    ...(one.sized.also ?? []),
  ];
  return all.site.stations
    .filter(({ id }) => stations.includes(id))
    .flatMap((station) =>
      station.plans.flatMap((plan) => {
        const sides = wanted.filter(([feature]) => feature === plan.feature).map(([, side]) => side);
        if (sides.length === 0) return [];
        const ids = [...index.points.keys()].filter(
          (id) => id === `${station.id}:${plan.feature}` || id.startsWith(`${station.id}:${plan.feature}:`),
        );
        return ids.flatMap((id) => {
          const part = id.split(":")[2] ?? null;
          const characteristic = plan.characteristic(part);
          const law = all.laws.get(lawKey(station, plan.feature, part));
          return sides.map((side) => chartCase(one, characteristic, side, law, all, index));
        });
      }),
    );
}

function chartCase(
  { fromMs, toMs, times, sized }: Injected,
  characteristic: Characteristic,
  side: Side,
  law: ProcessLaw | undefined,
  { sets, means, endMs }: Compared,
  { points, groups, faulty, twin }: Index,
): FoundChart {
  const { id, specification } = characteristic;
  const set = sets.get(id);
  const nothing = { characteristic: id, side, dueMs: null, judged: false, shift: 0 };
  const inTime = ({ atMs }: PointRecord): boolean => atMs >= fromMs && atMs <= Math.min(endMs, toMs + tailMs);
  const after = (points.get(id) ?? []).filter((point) => inTime(point) && point.location.value !== null);
  const ruled = set !== undefined && characteristic.rules.includes("beyond-limit");
  // A specification judges whether or not limits could be set.
  if (law === undefined || (!ruled && specification === null)) return nothing;
  const runs = runsOfPoint(characteristic);
  // What never varies while all is well stands off by more than any line is away.
  const sd = Math.max(law.sd / Math.sqrt(runs), 1e-9);
  const shiftOf = (run: string): number => {
    const [now, without] = [faulty.get(run), twin.get(run)];
    if (now === undefined || without === undefined) return 0;
    const [a, b] = [chartedValue(now, characteristic)?.value, chartedValue(without, characteristic)?.value];
    return a == null || b == null ? 0 : (a - b) / sd;
  };
  const shiftsOf = (shown: readonly PointRecord[]): readonly number[] => {
    const shifts = shown.map(({ run, members }) => {
      const own = members?.map((member) => shiftOf(member.run)) ?? [shiftOf(run)];
      return own.reduce((sum, shift) => sum + shift, 0) / own.length;
    });
    if (sized.traceShift === undefined || shifts.some((shift) => Math.abs(shift) >= leastShift)) return shifts;
    const nominal = Math.abs(sized.traceShift) * (times ?? 1) * (side === "above" ? 1 : -1) * Math.sqrt(runs);
    return shown.map(({ atMs }) => (atMs <= toMs ? nominal : 0));
  };
  const shifts = shiftsOf(after);
  const shift = moved(shifts).reduce((most, value) => (Math.abs(value) > Math.abs(most) ? value : most), 0);
  const right = side === "above" ? shift > 0 : shift < 0;
  if (!right) return { ...nothing, judged: true, shift };
  const mean = means.get(id) ?? set?.location.centre ?? 0;
  const { upper, lower } = specification ?? {};
  const placeOf = (by: readonly number[]): number | null =>
    foundBy(
      {
        n: set?.baseline.n ?? 1,
        dependence: runs > 1 ? { share: 0, phi: 0 } : dependenceOf(law.acf[0] ?? 0, law.acf[1] ?? 0),
        ewma: characteristic.chart === "ewma" ? (characteristic.ewma ?? usualEwma) : null,
        limits: ruled,
        specification:
          runs > 1 || characteristic.chart === "ewma"
            ? { above: null, below: null }
            : {
                above: upper === undefined ? null : (upper - mean) / sd,
                below: lower === undefined ? null : (mean - lower) / sd,
              },
      },
      moved(by),
      side,
      share,
    );
  const due = placeOf(shifts);
  const found = { characteristic: id, side, judged: true, shift };
  if (due === null || runs === 1) return { ...found, dueMs: due === null ? null : after[due]!.atMs };
  // A chart of groups is due by its own groups, and never later than the twin's next one: a group more than that is a miss.
  const own = (groups.get(id) ?? []).filter(inTime);
  const place = placeOf(shiftsOf(own));
  const latestMs = after[due + 1]?.atMs ?? endMs;
  return { ...found, dueMs: Math.min(latestMs, place === null ? latestMs : own[place]!.atMs) };
}

/** Up to the last that is moved at all. */
function moved(shifts: readonly number[]): readonly number[] {
  return shifts.slice(0, shifts.findLastIndex((shift) => Math.abs(shift) >= leastShift) + 1);
}

/**
 * What an instrument's own checks are given to see it: two whole runs, or a quarter of an hour, and at most two hours. What
 * is off by a constant shows by whole runs alone; against its peers not before it was learned by how much they differ.
 */
function instrumentDue({ fault, fromMs, toMs, sized }: Injected, { site, trueTwin, endMs }: Compared): number | null {
  if (!asksItself({ fault, sized })) return null;
  const station = site.stations.find(({ id }) => id === stationsOf(fault)[0]);
  const ends = trueTwin
    .filter(({ run }) => run.station === station?.id && run.startMs >= fromMs)
    .map(({ run }) => run.endMs);
  const quarterMs = fromMs + 15 * 60_000;
  const asked = Object.values(station?.series ?? {}).find(({ id }) => id === fault.station)?.asked;
  const before = trueTwin.filter(({ run }) => run.station === station?.id && run.endMs < fromMs).length;
  const offset = fault.name === "offset";
  if (offset && asked?.zero == null && before < baselineRuns) return null;
  const secondMs = offset ? (ends[1] ?? endMs + 1) : Math.min(ends[1] ?? 0, fromMs + 2 * hourMs);
  const dueMs = Math.max(quarterMs, secondMs);
  return dueMs > Math.min(toMs, endMs) ? null : dueMs;
}

/** Found by what an instrument is asked, not by a chart. */
function asksItself({ fault, sized }: Pick<Injected, "fault" | "sized">): boolean {
  const kind = faultKinds.find(({ name }) => name === fault.name)!;
  return kind.sensor && (sized.traceShift === 0 || fault.name === "stuck-pressure");
}
