import type { HealthCheck, HealthVerdict } from "../health/finding.ts";
import type { LimitSet } from "./limit-set.ts";
import type { Message } from "./message.ts";
import type { Refusal } from "./outcome.ts";
import type { ChartPoint } from "./point.ts";
import type { Agreed, Proposed, Withdrawn } from "./proposal.ts";
import type { Run } from "./run.ts";
import type { FlagLabel, Side, Signal } from "./signal.ts";

/** One feature of one run: a number, or the reason there is none. */
export interface FeatureValue {
  readonly feature: string;
  readonly version: number;
  readonly unit: string;
  readonly value: number | null;
  readonly refusal?: Refusal;
}

/** A run with what it gave. Imported runs have no trace behind them and never signal. */
export interface RunRecord {
  readonly run: Run;
  readonly imported: boolean;
  readonly features: readonly FeatureValue[];
}

/** One run of a point, and what it gave. */
export interface PointMember {
  readonly run: string;
  /** End of the run, source time. */
  readonly atMs: number;
  readonly value: number | null;
}

/** Why a subgroup ended before it was full: silence, another part or tool, or a cause that was found and corrected. */
export type ShortBy = "gap" | "change" | "done";

/** A run rule whose pattern this point completes, and which opens no flag where neighbours depend on each other. */
export interface SilencedPattern {
  readonly rule: string;
  readonly side: Side;
}

/** One point of a chart pair, judged. */
export interface PointRecord {
  readonly characteristic: string;
  /** Its run; of a subgroup the last one. */
  readonly run: string;
  readonly subgroup: number;
  readonly atMs: number;
  readonly imported: boolean;
  /** Limit set that ruled, or null while there is none. */
  readonly limitSet: string | null;
  readonly location: ChartPoint;
  readonly spread: ChartPoint;
  readonly refusal?: Refusal;
  /** Its runs, oldest first; left out where a point is one run and what is plotted is its value. */
  readonly members?: readonly PointMember[];
  /** Left out where the subgroup is full. */
  readonly shortBy?: ShortBy;
  readonly silenced?: readonly SilencedPattern[];
  /** Ids of the signals at this point and of its runs. */
  readonly signals: readonly string[];
}

/** A signal with what only the clock knew when it was first found. */
export interface SignalRecord {
  readonly signal: Signal;
  readonly foundMs: number;
  /** Found more than 15 minutes after its sensor time: listed, never sent. */
  readonly late: boolean;
}

export interface Decision {
  readonly flag: string;
  readonly by: string;
  readonly atMs: number;
}

/** A person's or clock's entry, at the place in a characteristic's points where it took effect. */
export interface Applied {
  /** Id of the `done` or `limits` entry. */
  readonly entry: string;
  readonly characteristic: string;
  /** The last point before it, or null when there was none. */
  readonly afterRun: string | null;
}

/** Nothing from an instrument or a whole source for too long; the clock decided it. */
export interface Silence {
  readonly flag: string;
  readonly station: string;
  /** Series that fell silent, or all of the source's. */
  readonly series: readonly string[];
  readonly source: string;
  readonly wholeSource: boolean;
  readonly sinceMs: number;
  readonly foundMs: number;
}

/** A fault of one instrument began or is over, by a check of its readings; what follows from readings, no clock decides. */
export interface InstrumentNews {
  /** The flag that it opened or joined; of one that is over, the flag of its beginning. */
  readonly flag: string;
  readonly station: string;
  readonly series: string;
  readonly role: string;
  readonly check: HealthCheck;
  readonly state: "began" | "ended";
  readonly verdict: HealthVerdict;
  /** The evidence, in one sentence. */
  readonly says: string;
  /** Source time from which on the fault holds. */
  readonly sinceMs: number;
  /** Source time of the reading or run that said so. */
  readonly atMs: number;
  readonly foundMs: number;
  /** Found more than 15 minutes after its sensor time: listed, never sent. */
  readonly late: boolean;
}

/** A flag of one of several stations that one supply feeds joins the flag of what they have in common. */
export interface CommonCause {
  /** The flag of the common cause. */
  readonly flag: string;
  /** The supply or source behind them. */
  readonly feeder: string;
  /** In words: `steam header BO-1`. */
  readonly name: string;
  /** How many stations it feeds, and what they are. */
  readonly feeds: number;
  readonly of: string;
  readonly doFirst: string;
  readonly child: string;
  /** The child's station, and the source time at which its flag began. */
  readonly station: string;
  readonly atMs: number;
  readonly label: FlagLabel;
  readonly foundMs: number;
  /** The child was found more than 15 minutes after its sensor time. */
  readonly late: boolean;
  /** The child's station measures the supply itself. */
  readonly own?: true;
}

/** The shift in which a flag opened ended before anybody took it; the clock decided it. */
export interface Unseen {
  readonly flag: string;
  readonly station: string;
  /** Name of that shift. */
  readonly shift: string;
  /** When it ended. */
  readonly endedMs: number;
  readonly foundMs: number;
}

/** What a person measured of one feature and wrote down: so many pieces at a time, each a run of its own. */
export interface WrittenDown {
  readonly feature: string;
  readonly unit: string;
  readonly values: readonly number[];
  /** When it was measured, as the person says; may be hours before it was written down. */
  readonly takenMs: number;
  readonly writtenMs: number;
  readonly by: string;
  /** What ran there: part, lot, cluster. */
  readonly context: Readonly<Record<string, string>>;
  /** Run of the station that was measured, or null where nobody said. */
  readonly ofRun: string | null;
  readonly note: string;
}

/** Other values for what was written down, with the reason: what was there stays readable beside it. */
export interface Corrected {
  /** What was written: station, feature and time, `PX-1:bead.density:20261125T060000000Z`. */
  readonly written: string;
  readonly values: readonly number[];
  readonly by: string;
  readonly atMs: number;
  readonly reason: string;
}

/** What a person said runs at a station: part, tool, lot. It holds for runs that begin from then on. */
export interface SetUp {
  /** A word that is empty is no more. */
  readonly words: Readonly<Record<string, string>>;
  /** From when on it holds, as the person says; may be hours before it was said. */
  readonly fromMs: number;
  readonly saidMs: number;
  readonly by: string;
  readonly note: string;
  /** What it stands instead of, which stays to be read; null for one of its own. */
  readonly instead: string | null;
  /** Why, where it stands instead of another. */
  readonly reason: string;
}

/** From which sample on the runs of a station are cut knowing a set-up. */
export interface SetUpHeard {
  readonly setUp: string;
  /** Source time. */
  readonly heardMs: number;
}

/** A person asks that runs be reckoned anew by today's algorithms and settings: those that ended in from <= t < to. */
export interface RecomputeAsked {
  readonly fromMs: number;
  readonly toMs: number;
  readonly by: string;
  readonly atMs: number;
  readonly reason: string;
}

/** What a run gives when it is reckoned anew, beside what it gave first: that stays, and so do the points that were judged. */
export interface Revised {
  readonly run: string;
  /** From 2: the first is the run's own entry. */
  readonly revision: number;
  /** What asked for it. */
  readonly ask: string;
  readonly features: readonly FeatureValue[];
  readonly context: Readonly<Record<string, string>>;
  readonly atMs: number;
}

/** What came of an ask. */
export interface Recomputed {
  readonly ask: string;
  readonly runs: number;
  readonly revised: number;
  /** Runs of which readings are gone, so that numbers stay as they were; the first 500 by name. */
  readonly gone: readonly string[];
  readonly goneCount: number;
  readonly atMs: number;
}

/** Everything the journal keeps: append-only, the first entry of an id wins. */
export type EntryBody =
  | { readonly kind: "run"; readonly body: RunRecord }
  | { readonly kind: "point"; readonly body: PointRecord }
  | { readonly kind: "signal"; readonly body: SignalRecord }
  | { readonly kind: "limits"; readonly body: LimitSet }
  | { readonly kind: "taken"; readonly body: Decision }
  | { readonly kind: "done"; readonly body: Decision & { readonly cause: string; readonly note: string } }
  | { readonly kind: "applied"; readonly body: Applied }
  | { readonly kind: "silence"; readonly body: Silence }
  | { readonly kind: "instrument"; readonly body: InstrumentNews }
  | { readonly kind: "common"; readonly body: CommonCause }
  | { readonly kind: "message"; readonly body: Message }
  | { readonly kind: "unseen"; readonly body: Unseen }
  | { readonly kind: "proposed"; readonly body: Proposed }
  | { readonly kind: "agreed"; readonly body: Agreed }
  | { readonly kind: "withdrawn"; readonly body: Withdrawn }
  | { readonly kind: "written-down"; readonly body: WrittenDown }
  | { readonly kind: "corrected"; readonly body: Corrected }
  | { readonly kind: "set-up"; readonly body: SetUp }
  | { readonly kind: "set-up-heard"; readonly body: SetUpHeard }
  | { readonly kind: "recompute-asked"; readonly body: RecomputeAsked }
  | { readonly kind: "revised"; readonly body: Revised }
  | { readonly kind: "recomputed"; readonly body: Recomputed };

export type EntryKind = EntryBody["kind"];

export type JournalEntry = EntryBody & {
  /** Follows from content, so that a replay appends the same ones. */
  readonly id: string;
  /** Station it concerns. */
  readonly station: string;
  /** What it hangs on: characteristic id of a point, signal or limit set; flag id of a decision; run id of a run. */
  readonly subject: string;
  /** Source time for what was measured, wall time for what people and clocks decided. */
  readonly atMs: number;
};

/** An entry as read back, with its place in the journal. */
export type StoredEntry = JournalEntry & { readonly seq: number };
