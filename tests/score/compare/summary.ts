import { usualEwma } from "../../../spc/model/characteristic.ts";
import { type ChanceClass, type ChanceRatio, type ChanceRow, chanceRatio, classOf, type ProcessLaw } from "./chance.ts";
import type { FaultRow } from "./fault-rows.ts";
import { dependenceOf, type ReferenceChart, runLengths } from "./run-length.ts";

export interface Summary {
  /** Faults of at least the size that matters, due inside the score; and those of them found by the time due. */
  readonly injected: number;
  readonly found: number;
  readonly foundShare: number | null;
  readonly lateShare: number | null;
  readonly sensorAsProcess: number;
  readonly processAsSensor: number;
  readonly undecided: number;
  readonly censored: number;
  readonly unbuilt: number;
  /** Wrong kind over found. */
  readonly confusion: number | null;
  readonly chanceObserved: number;
  readonly chanceExpected: number;
  readonly chanceTold: number;
  readonly chanceRatio: number | null;
}

export function matters({ times }: FaultRow): boolean {
  return times === null || times >= 1;
}

function isDue({ outcome }: FaultRow): boolean {
  return outcome === "found" || outcome === "late" || outcome === "missed";
}

export function summaryOf(
  faults: readonly FaultRow[],
  chance: readonly ChanceRow[],
  laws: ReadonlyMap<string, ProcessLaw>,
): Summary {
  const large = faults.filter(matters);
  const due = large.filter(isDue);
  const found = due.filter(({ outcome }) => outcome === "found");
  const seen = due.filter(({ outcome }) => outcome !== "missed");
  const share = (part: number, of: number): number | null => (of === 0 ? null : part / of);
  const sensorAsProcess = seen.filter(({ sensor, called }) => sensor && called === "process").length;
  const processAsSensor = seen.filter(({ sensor, called }) => !sensor && called === "sensor").length;
  const near = ratioOf(chance, laws, "near-normal", null);
  return {
    ...{ injected: due.length, found: found.length, foundShare: share(found.length, due.length) },
    lateShare: share(due.filter(({ outcome }) => outcome === "late").length, due.length),
    ...{ sensorAsProcess, processAsSensor },
    undecided: seen.filter(({ called }) => called === "undecided").length,
    censored: large.filter(({ outcome }) => outcome === "censored").length,
    unbuilt: faults.filter(({ outcome }) => outcome === "unbuilt").length,
    confusion: share(sensorAsProcess + processAsSensor, seen.length),
    ...{ chanceObserved: near.observed, chanceExpected: near.expected, chanceTold: near.told, chanceRatio: near.ratio },
  };
}

export interface TypeRow {
  readonly fault: string;
  readonly times: number | null;
  readonly sensor: boolean;
  readonly injected: number;
  readonly found: number;
  readonly foundShare: number | null;
  readonly late: number;
  readonly missed: number;
  readonly censored: number;
  readonly unbuilt: number;
  readonly calledProcess: number;
  readonly calledSensor: number;
  readonly undecided: number;
  /** Hours until due and until found: middle ones. */
  readonly dueHours: number | null;
  readonly foundHours: number | null;
}

/** One row for each type and size. */
export function typeRows(faults: readonly FaultRow[]): TypeRow[] {
  const groups = new Map<string, FaultRow[]>();
  for (const row of faults) {
    const key = `${row.fault}*${row.times ?? ""}`;
    groups.set(key, [...(groups.get(key) ?? []), row]);
  }
  return [...groups.values()]
    .map(typeRow)
    .sort((a, b) => (a.fault < b.fault ? -1 : a.fault > b.fault ? 1 : (a.times ?? 0) - (b.times ?? 0)));
}

/** The same of all sizes that matter together: what no type may fall short of. */
export function kindRows(faults: readonly FaultRow[]): TypeRow[] {
  return typeRows(faults.filter(matters).map((row) => ({ ...row, times: null })));
}

function typeRow(rows: readonly FaultRow[]): TypeRow {
  const { fault, times, sensor } = rows[0]!;
  const due = rows.filter(isDue);
  const of = (outcome: FaultRow["outcome"]): number => rows.filter((row) => row.outcome === outcome).length;
  const called = (as: FaultRow["called"]): number => due.filter((row) => row.called === as).length;
  return {
    ...{ fault, times, sensor, injected: due.length, found: of("found") },
    foundShare: due.length === 0 ? null : of("found") / due.length,
    ...{ late: of("late"), missed: of("missed"), censored: of("censored"), unbuilt: of("unbuilt") },
    ...{ calledProcess: called("process"), calledSensor: called("sensor"), undecided: called("undecided") },
    dueHours: middle(due.map(({ dueHours }) => dueHours)),
    foundHours: middle(due.map(({ foundHours }) => foundHours)),
  };
}

function middle(values: readonly (number | null)[]): number | null {
  const there = values.filter((value) => value !== null).sort((a, b) => a - b);
  return there[Math.floor(there.length / 2)] ?? null;
}

export interface ChanceLine extends ChanceRatio {
  readonly rule: ChanceRow["rule"];
  readonly process: ChanceClass;
}

export function chanceLines(chance: readonly ChanceRow[], laws: ReadonlyMap<string, ProcessLaw>): ChanceLine[] {
  const rules = ["beyond-limit", "ewma"] as const;
  const classes = ["near-normal", "skewed", "quantised", "autocorrelated", "drifting"] as const;
  return rules.flatMap((rule) =>
    classes.map((process) => ({ rule, process, ...ratioOf(chance, laws, process, rule) })),
  );
}

function ratioOf(
  chance: readonly ChanceRow[],
  laws: ReadonlyMap<string, ProcessLaw>,
  process: ChanceClass,
  rule: ChanceRow["rule"] | null,
): ChanceRatio {
  const rows = chance.filter((row) => {
    const law = laws.get(row.law);
    return law !== undefined && classOf(law) === process && (rule === null || rule === row.rule);
  });
  return chanceRatio(rows, ({ law }) => laws.get(law)!);
}

export interface CharacteristicRow extends ChanceRatio {
  readonly law: string;
  readonly process: ChanceClass;
  readonly sd: number;
  readonly lag1: number;
  readonly skewness: number;
  readonly excess: number;
  /** Points within which half, 95 and 99 of a hundred such charts signal a step of two sigma; null beyond 400. */
  readonly runLength: { readonly p50: number | null; readonly p95: number | null; readonly p99: number | null };
}

const stepSigma = 2;

/** One row for each kind of characteristic, over its stations. */
export function characteristicRows(
  chance: readonly ChanceRow[],
  laws: ReadonlyMap<string, ProcessLaw>,
): CharacteristicRow[] {
  return [...new Set(chance.map(({ law }) => law))].sort().flatMap((key) => {
    const law = laws.get(key);
    if (law === undefined) return [];
    const { sd, acf, skewness, excess } = law;
    const rows = chance.filter((row) => row.law === key);
    const [p50 = null, p95 = null, p99 = null] = rows[0] === undefined ? [] : percentiles(rows[0], law);
    return [
      {
        runLength: { p50, p95, p99 },
        law: key,
        process: classOf(law),
        sd,
        lag1: acf[0] ?? 0,
        skewness,
        excess,
        ...chanceRatio(rows, () => law),
      },
    ];
  });
}

function percentiles({ baseline, rule, lambda, runs }: ChanceRow, { acf }: ProcessLaw): readonly (number | null)[] {
  const chart: ReferenceChart = {
    n: baseline,
    dependence: runs > 1 ? { share: 0, phi: 0 } : dependenceOf(acf[0] ?? 0, acf[1] ?? 0),
    ewma: rule === "ewma" ? { lambda, width: usualEwma.width } : null,
    limits: true,
    specification: { above: null, below: null },
  };
  return runLengths(chart, stepSigma * Math.sqrt(runs), [0.5, 0.95, 0.99]);
}
