/** What the tool took a fault for: by the label of its flags. */
export type Called = "process" | "sensor" | "undecided" | null;

/** One flag that the fault opened or joined, and that the twin does not have. */
export interface CalledBy {
  readonly atMs: number;
  /** `instrument` for flags with the label instrument-fault. */
  readonly kind: "process" | "instrument" | "undecided";
  /** It calls somebody: a label above for-review. */
  readonly calls: boolean;
}

/**
 * What the flags of a fault say it is, up to a time. An instrument's flag takes its numbers out of the process charts, so it
 * rules, unless the process was called out first: then both were said, and that is undecided.
 */
export function calledBy(flags: readonly CalledBy[], untilMs: number): Called {
  const seen = flags.filter(({ atMs }) => atMs <= untilMs).sort((a, b) => a.atMs - b.atMs);
  const instrument = seen.find(({ kind }) => kind === "instrument");
  const process = seen.find(({ kind }) => kind === "process");
  if (instrument !== undefined) {
    const first = seen.find(({ kind, calls, atMs }) => kind === "process" && calls && atMs < instrument.atMs);
    return first === undefined ? "sensor" : "undecided";
  }
  if (process !== undefined) return "process";
  return seen.length > 0 ? "undecided" : null;
}
