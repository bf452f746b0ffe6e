import type { AllRefused, IntakeStatus } from "../intake/intake.ts";
import type { MissingStretch, SampleStore } from "../store/sample-store.ts";

/** What is known to be wrong with what a source sends. */
export interface SourceTrouble {
  /** Messages that never came, found lately; source times before and after them where they are known. */
  readonly missing: {
    readonly messages: number;
    readonly afterMs: number | null;
    readonly beforeMs: number | null;
  } | null;
  /** Messages in a row of which nothing was taken, and why the last was not. */
  readonly refused: AllRefused | null;
  /** Readings in a row that all came late, and so enter no run, and the newest, which they came behind. */
  readonly late: { readonly readings: number; readonly newestMs: number } | null;
  /** How far its clock is ahead of ours, below zero behind; null while it is right or not known. */
  readonly clockMs: number | null;
}

/** A gap is shown for a shift; one that is only seconds old may be two messages that overtook each other. */
const SHOWN_MS = 8 * 3_600_000;
const SETTLED_MS = 10_000;
/** One message that is wrong is for quarantine alone. */
const FEWEST_REFUSED = 3;
/** Some may be late where a gateway catches up; so many in a row are all that it has to say, while it says it. */
const FEWEST_LATE = 20;
const LATE_SHOWN_MS = 600_000;
/** No reading comes from the future, but it may be averaged, gathered or sent a while after it was taken. */
const MOST_AHEAD_MS = 5_000;
const MOST_BEHIND_MS = 30_000;

export function sourceTroubles(
  store: Pick<SampleStore, "missingStretches" | "lateSources">,
  { clockOffsetsMs, refused }: Pick<IntakeStatus, "clockOffsetsMs" | "refused">,
  nowMs: number,
): (source: string) => SourceTrouble {
  const lately = store
    .missingStretches()
    .filter(({ foundMs }) => nowMs - foundMs < SHOWN_MS && nowMs - foundMs >= SETTLED_MS);
  const late = new Map(
    store
      .lateSources()
      .filter(({ readings, arrivedMs }) => readings >= FEWEST_LATE && nowMs - arrivedMs < LATE_SHOWN_MS)
      .map(({ source, readings, newestMs }) => [source, { readings, newestMs }]),
  );
  return (source) => {
    const offsetMs = clockOffsetsMs.get(source) ?? 0;
    const wrong = offsetMs > MOST_AHEAD_MS || offsetMs < -MOST_BEHIND_MS;
    return {
      missing: together(lately.filter((one) => one.source === source)),
      refused: (refused.get(source)?.messages ?? 0) >= FEWEST_REFUSED ? (refused.get(source) ?? null) : null,
      late: late.get(source) ?? null,
      clockMs: wrong ? offsetMs : null,
    };
  };
}

function together(stretches: readonly MissingStretch[]): SourceTrouble["missing"] {
  if (stretches.length === 0) return null;
  const after = stretches.flatMap(({ afterMs }) => afterMs ?? []);
  const before = stretches.flatMap(({ beforeMs }) => beforeMs ?? []);
  return {
    messages: stretches.reduce((sum, { messages }) => sum + messages, 0),
    afterMs: after.length === 0 ? null : Math.min(...after),
    beforeMs: before.length === 0 ? null : Math.max(...before),
  };
}
