import type { FeatureValue } from "./journal-entry.ts";
import type { Outcome } from "./outcome.ts";
import type { Sample } from "./sample.ts";
import type { Stage } from "./stage.ts";

export type ClosedBy = "end-condition" | "timeout" | "gap" | "operator" | "imported" | "by-hand";

/** A named part of a run: fill, autoclave, soak. Half open: fromMs <= t < toMs. */
export interface Segment {
  readonly name: string;
  readonly fromMs: number;
  readonly toMs: number;
}

/** One pass of one batch through one station: what a point on a chart is about. */
export interface Run {
  /** `runId(station, startMs)`: the same run has the same id wherever it is cut again. */
  readonly id: string;
  readonly station: string;
  /** Which of the station's further kinds of run it is: `ladle`; left out for the first kind. */
  readonly kind?: string;
  readonly startMs: number;
  readonly endMs: number;
  readonly closedBy: ClosedBy;
  readonly segments: readonly Segment[];
  /** What ran there, as events told it: part, flask, ladle. */
  readonly context: Readonly<Record<string, string>>;
}

export type RunEvent =
  | { readonly kind: "opened"; readonly id: string; readonly station: string; readonly startMs: number }
  | { readonly kind: "closed"; readonly run: Run }
  /** One that opened and lasted 0 ms: it is no run. */
  | { readonly kind: "dropped"; readonly id: string };

/** A sample of the station, under the role its segmenter and features know it by. */
export interface RoleSample extends Sample {
  readonly role: string;
}

/** Cuts one station's samples, in time order, into runs. */
export type RunSegmenter<State> = Stage<State, RoleSample, RunEvent>;

/** The samples of one closed run by role, each in time order; late ones are not among them. */
export interface RunTrace {
  readonly run: Run;
  readonly samples: Readonly<Record<string, readonly Sample[]>>;
  /** Expected spacing of each role's readings: what coverage is judged against. */
  readonly everyMs: Readonly<Record<string, number>>;
  readonly ambientPressureHpa: number;
  /** By role, in time order, what came before the run as far back as an extractor asks: slow and hand-taken values. */
  readonly before?: Readonly<Record<string, readonly Sample[]>>;
  /** The runs of the station's first kind that closed inside this one, oldest first: the pours of a ladle. */
  readonly inside?: readonly RunInside[];
}

export interface RunInside {
  readonly run: Run;
  readonly features: readonly FeatureValue[];
}

/** Turns a run into one number, or says why the data do not deserve one. */
export interface FeatureExtractor {
  /** Such as `mold.plateau`. */
  readonly id: string;
  /** Raised whenever the same trace would give another number. */
  readonly version: number;
  /** UCUM code of the result. */
  readonly unit: string;
  readonly roles: readonly string[];
  /** UCUM code that it reckons a role in, where that is not the usual one of the quantity. */
  readonly roleUnits?: Readonly<Record<string, string>>;
  /** How far before the run each of these roles is to be read as well. */
  readonly lookBackMs?: Readonly<Record<string, number>>;
  /**
   * Stated error in the feature's unit: how far from the truth the number may lie with the noise, the spacing and the
   * tenth of missing readings that it allows. Left out where it is all the instrument's own.
   */
  readonly plusMinus?: number;
  extract(trace: RunTrace): Outcome<number>;
}

/** How a characteristic says what a change of begins a subgroup, or a moving range, anew. */
export interface BegunAnew {
  readonly subgroup?: { readonly anewWith?: readonly string[] };
  readonly anewWith?: readonly string[];
  readonly plotted?: unknown;
}

/**
 * What was set up when a run ran, as far as a change of it begins a new subgroup or moving range: part and tool unless
 * said. Single deviations from each part's own target are there to be compared from part to part, so only the tool counts.
 */
export function settingOf({ context }: Pick<Run, "context">, { subgroup, anewWith, plotted }: BegunAnew = {}): string {
  const usual = subgroup === undefined && plotted !== undefined ? ["tool"] : ["part", "tool"];
  return (subgroup?.anewWith ?? anewWith ?? usual)
    .map((key) => context[key] ?? "")
    .join(" ")
    .trim();
}

/**
 * Run ids follow from content, so a replay cannot make a second one: `PR-01:20261125T080512345Z`. A further kind of run at
 * the station is told by its name, and where many run at once each by its own: `PO-F.ladle:...`, `SI-01~FILL-7:...`.
 */
export function runId(station: string, startMs: number): string {
  return `${station}:${new Date(startMs).toISOString().replaceAll(/[-:.]/g, "")}`;
}

/** The same run as one of a further kind at its station. */
export function runOfKind(run: Run, kind: string): Run {
  return { ...run, id: idOfKind(run.id, run.station, kind), kind };
}

/** The same event for a further kind of run at its station. */
export function ofKind(event: RunEvent, station: string, kind: string): RunEvent {
  if (event.kind !== "closed") return { ...event, id: idOfKind(event.id, station, kind) };
  return { kind: "closed", run: runOfKind(event.run, kind) };
}

function idOfKind(id: string, station: string, kind: string): string {
  return `${station}.${kind}${id.slice(station.length)}`;
}

/** A word from outside as it may stand in an id: plain, and two words never become one. */
export function plainWord(word: string): string {
  return word.replaceAll(/[^A-Za-z0-9_.-]/gu, (char) => `~${char.codePointAt(0)!.toString(16)}~`);
}
