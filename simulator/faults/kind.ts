export type Shape = "step" | "ramp" | "drift" | "stuck" | "dropout" | "oscillation" | "bias";

/** What a fault is expected to move, for the label that goes into the truth. */
export interface ExpectedSignal {
  readonly feature: string;
  readonly direction: "up" | "down" | "refused";
  /** Smallest change that matters, in the feature's unit; null where the sign or the refusal alone counts. */
  readonly minDelta: number | null;
  readonly detectableBy: string;
}

/** What can go wrong in the simulated plant, and where. */
export interface FaultKind {
  readonly name: string;
  /** Stations, series or sources that can have it. */
  readonly at: RegExp;
  /** The same in words, for the person who typed another. */
  readonly where: string;
  readonly says: string;
  /** How long it lasts when nobody says: null means to the end. */
  readonly lastsMs: number | null;
  /** The instrument alone is wrong, and what it measures is well; else the process is. */
  readonly sensor: boolean;
  readonly shape: Shape;
  readonly scope: "one" | "group" | "all";
  /** Roles of the series that it touches. */
  readonly channels: readonly string[];
  readonly signals: readonly ExpectedSignal[];
  readonly defects: readonly { readonly defect: string; readonly deltaLogit: number }[];
  /** What one size of it is; null where it has no size: it is there or not. */
  readonly size: string | null;
}

type Given = Pick<FaultKind, "name" | "at" | "where" | "says"> & Partial<FaultKind>;

const usual = {
  lastsMs: null,
  sensor: false,
  shape: "step",
  scope: "one",
  channels: [],
  signals: [],
  defects: [],
  size: null,
};

export function faultKind(given: Given): FaultKind {
  return { ...usual, ...given } as FaultKind;
}

export function up(feature: string, minDelta: number | null, detectableBy = "individuals and EWMA"): ExpectedSignal {
  return { feature, direction: "up", minDelta, detectableBy };
}

export function down(feature: string, minDelta: number | null, detectableBy = "individuals and EWMA"): ExpectedSignal {
  return { feature, direction: "down", minDelta, detectableBy };
}

export function refused(feature: string): ExpectedSignal {
  return { feature, direction: "refused", minDelta: null, detectableBy: "points that cannot be evaluated" };
}
