/** What one bench says: two variants measured in the same run, on the same machine. */
export interface BenchResult {
  readonly name: string;
  readonly ours: number;
  readonly baseline: number;
  readonly unit: string;
  /** ours / baseline */
  readonly ratio: number;
  readonly better: "higher" | "lower";
  /** The ratio asked for; null where none is, and the figure is only reported. */
  readonly ask: number | null;
}

export interface Bench {
  readonly name: string;
  /**
   * `note` takes the raw values and what limits the figure; it is for a reader, not for a program. Null where what is
   * needed is not on this machine: the notes say what.
   */
  run(note: (line: string) => void): Promise<BenchResult | null>;
}

/** One round of two variants, each in a fresh process; the order is turned round from one to the next. */
export async function alternating(
  rounds: number,
  round: (ourFirst: boolean) => Promise<{ readonly ours: number; readonly baseline: number }>,
): Promise<{ readonly ours: number; readonly baseline: number; readonly raw: readonly unknown[] }> {
  const raw: { readonly ours: number; readonly baseline: number }[] = [];
  for (let i = 0; i < rounds; i++) raw.push(await round(i % 2 === 0));
  return { ours: median(raw.map((r) => r.ours)), baseline: median(raw.map((r) => r.baseline)), raw };
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = (sorted.length - 1) / 2;
  return (sorted[Math.floor(middle)]! + sorted[Math.ceil(middle)]!) / 2;
}
