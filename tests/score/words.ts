import type { Pooled } from "./pooled.ts";

type Told = Pick<Pooled, "summary" | "kinds" | "chance" | "falseFlags"> & {
  readonly seconds: number;
  readonly pooled: Pick<Pooled, "seeds" | "spread" | "summary">;
};

/** The score for people: what held, what did not, and by how much. */
export function wordsOf({ seconds, summary, kinds, chance, falseFlags, pooled }: Told): string {
  const lines = [
    `${seconds.toFixed(0)} s`,
    ...summaryWords(summary),
    "",
    "type: due, found, late, missed, censored, unbuilt; called process, sensor, undecided; hours until due, found",
    ...kinds.map((row) => {
      const counts = [row.injected, row.found, row.late, row.missed, row.censored, row.unbuilt].join(" ");
      const called = [row.calledProcess, row.calledSensor, row.undecided].join(" ");
      return `  ${row.fault.padEnd(26)} ${counts.padEnd(18)} ${called.padEnd(10)} ${digits(row.dueHours)} ${digits(row.foundHours)}`;
    }),
    "",
    "chance: points, observed, expected, ratio and its 95 % interval, flags begun over told",
    ...chance
      .filter(({ points }) => points > 0)
      .map(({ rule, process, points, observed, expected, ratio, interval, toldRatio }) => {
        const within = interval === null ? "" : `${digits(interval[0])} to ${digits(interval[1])}`;
        const numbers = `${points} ${observed} ${expected.toFixed(1)} ${digits(ratio)}`;
        return `  ${`${rule} ${process}`.padEnd(30)} ${numbers} ${within} ${digits(toldRatio)}`;
      }),
    "",
    `flags a day of the plant without faults, over ${falseFlags.days} days:`,
    ...Object.entries(falseFlags.aDay).map(([label, aDay]) => `  ${label} ${digits(aDay)}`),
    ...falseFlags.rows
      .filter(({ label }) => label === "act-now" || label === "look")
      .map(({ label, feature, rule, count }) => `    ${label} ${feature} ${rule}: ${count}`),
    "",
    `pooled over ${pooled.seeds.length} plants:`,
    ...summaryWords(pooled.summary),
    ...Object.entries(pooled.spread).map(
      ([name, { mean, worst }]) => `  ${name} by plant: mean ${digits(mean)}, worst ${digits(worst)}`,
    ),
  ];
  return lines.join("\n");
}

function summaryWords(summary: Pooled["summary"]): string[] {
  return Object.entries(summary).map(([name, value]) => `  ${name} ${digits(value)}`);
}

function digits(value: number | null): string {
  if (value === null) return "-";
  return Number.isInteger(value) ? String(value) : value.toFixed(3);
}
