import type { Clock } from "../platform/clock.ts";
import { Fault } from "../platform/fault.ts";
import type { KeptClass, Retention } from "../platform/settings/retention-schema.ts";
import type { SampleStore } from "./sample-store.ts";

/** Between two turns while something goes: readings and pages come first. */
const BUSY_MS = 25;
/** Between two looks at what has become too old or too much. */
const EVERY_MS = 10 * 60_000;
const FAILED_MS = 30_000;
/** Turns without anything to do until the event loop gets its own. */
const QUIET_TURNS = 50;

export interface KeepRules {
  readonly retention: Retention;
  /** Null for no bound. */
  readonly budgetBytes: number | null;
  /** Undefined for a series that the settings no longer have: it goes for the budget only, as readings. */
  classOf(series: string): Exclude<KeptClass, "snapshots"> | undefined;
}

/** What a look let go, and how things stand after it. */
export interface KeptWithin {
  readonly counts: Readonly<Partial<Record<KeptClass, number>>>;
  /** Of the counts, what went for the budget. */
  readonly forBudget: number;
  readonly usedBytes: number;
  /** The budget is passed, and nothing that is left may go. */
  readonly stuck: boolean;
}

export interface KeepingParts {
  readonly store: SampleStore;
  readonly clock: Clock;
  readonly rules: KeepRules;
  /** After each look that let something go, and when the budget cannot be kept. */
  readonly told: (kept: KeptWithin) => void;
  /** A store that could not let go is tried again. */
  readonly failed: (fault: Fault) => void;
}

/** Lets go what is too old or too much, a little at a time, until the signal aborts. Rejects with a defect only. */
export async function keepWithin(
  { store, clock, rules, told, failed }: KeepingParts,
  signal: AbortSignal,
): Promise<void> {
  while (!signal.aborted) {
    let waitMs = EVERY_MS;
    try {
      const look = lookThrough(store, rules, clock.nowMs());
      for (let step = look.next(); !signal.aborted; step = look.next()) {
        if (step.done === true) {
          const kept = step.value;
          if (Object.keys(kept.counts).length > 0 || kept.stuck) told(kept);
          break;
        }
        await clock.sleep(BUSY_MS, signal);
      }
      if (signal.aborted) return;
    } catch (error) {
      if (signal.aborted) return;
      if (!(error instanceof Fault)) throw error;
      failed(error);
      waitMs = FAILED_MS;
    }
    try {
      await clock.sleep(waitMs, signal);
    } catch (error) {
      if (!signal.aborted) throw error;
    }
  }
}

/** One look, which gives way after each turn that did something. */
function* lookThrough(store: SampleStore, rules: KeepRules, nowMs: number): Generator<void, KeptWithin> {
  const counts: Partial<Record<KeptClass, number>> = {};
  const add = (kind: KeptClass, count: number): void => {
    if (count > 0) counts[kind] = (counts[kind] ?? 0) + count;
  };
  yield* oldOnes(store, rules, nowMs, add);
  let forBudget = 0;
  const stuck = yield* tooMuch(store, rules, (kind, count) => {
    forBudget += count;
    add(kind, count);
  });
  return { counts, forBudget, usedBytes: store.usedBytes(), stuck };
}

type Add = (kind: KeptClass, count: number) => void;

/** A clock that leaps ahead must not empty the store: nothing is older than it is beside the newest reading. */
function* oldOnes(store: SampleStore, { retention, classOf }: KeepRules, nowMs: number, add: Add): Generator<void> {
  const ageMs = Math.min(nowMs, Math.max(...store.newestBySource().values()));
  let quiet = 0;
  for (const series of store.seriesNames()) {
    const kind = classOf(series);
    if (kind === undefined) continue;
    for (const [what, one] of [
      ["readings", kind],
      ["snapshots", "snapshots"],
    ] as const) {
      const keepMs = retention[one];
      if (keepMs === null) continue;
      for (let more = true; more; ) {
        const gone = store.letGo(what, series, ageMs - keepMs);
        add(one, gone.count);
        more = gone.more;
        quiet = gone.count > 0 ? QUIET_TURNS : quiet + 1;
        if (quiet < QUIET_TURNS) continue;
        quiet = 0;
        yield;
      }
    }
  }
}

/** True when the budget is passed and nothing that is left may go. */
function* tooMuch(store: SampleStore, { budgetBytes, classOf }: KeepRules, add: Add): Generator<void, boolean> {
  if (budgetBytes === null) return false;
  /** Series whose oldest block is not cut into runs yet. */
  const held = new Set<string>();
  while (store.usedBytes() > budgetBytes) {
    const found = oldestOfLargest(
      store.sealed().filter(({ series }) => !held.has(series)),
      classOf,
    );
    if (found === null) return true;
    const { count } = store.letGo("readings", found.series, found.toMs + 1);
    if (count === 0) held.add(found.series);
    add(classOf(found.series) ?? "readings", count);
    yield;
  }
  return false;
}

/** Of the class that takes most, the series whose oldest block is the oldest. */
function oldestOfLargest(
  sealed: ReturnType<SampleStore["sealed"]>,
  classOf: KeepRules["classOf"],
): { readonly series: string; readonly toMs: number } | null {
  const bytes = new Map<KeptClass, number>();
  const kindOf = (series: string): KeptClass => classOf(series) ?? "readings";
  for (const one of sealed) bytes.set(kindOf(one.series), (bytes.get(kindOf(one.series)) ?? 0) + one.bytes);
  const [largest] = [...bytes].sort(([, a], [, b]) => b - a);
  if (largest === undefined) return null;
  const own = sealed.filter(({ series }) => kindOf(series) === largest[0]);
  return own.reduce((oldest, one) => (one.fromMs < oldest.fromMs ? one : oldest));
}
