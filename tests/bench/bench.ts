/** One measured comparison: a ratio in one run, because bare times on a shared machine mean little. */
export interface BenchResult {
  readonly name: string;
  /** Medians over the rounds, in `unit`. */
  readonly ours: number;
  readonly baseline: number;
  readonly unit: string;
  /** ours / baseline. */
  readonly ratio: number;
  readonly better: "higher" | "lower";
  /** Ratio that was asked for, where one was. */
  readonly ask?: number;
}

export interface Bench {
  readonly name: string;
  run(say: (line: string) => void): Promise<BenchResult>;
}

/** Each variant once a round, the order turned round every time; gives the median of each. */
export async function inTurns(
  rounds: number,
  variants: Readonly<Record<"ours" | "baseline", () => Promise<number>>>,
  say: (line: string) => void,
): Promise<Record<"ours" | "baseline", number>> {
  const found: Record<"ours" | "baseline", number[]> = { ours: [], baseline: [] };
  for (let round = 0; round < rounds; round += 1) {
    const order = round % 2 === 0 ? (["baseline", "ours"] as const) : (["ours", "baseline"] as const);
    for (const name of order) {
      const value = await variants[name]();
      found[name].push(value);
      say(`  round ${round + 1}, ${name}: ${value.toPrecision(4)}`);
    }
  }
  return { ours: middle(found.ours), baseline: middle(found.baseline) };
}

function middle(values: readonly number[]): number {
  return values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)]!;
}
