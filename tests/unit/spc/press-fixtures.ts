import { proposeLimits } from "../../../spc/charts/propose-limits.ts";
import type { Characteristic } from "../../../spc/model/characteristic.ts";
import type { Subgroup } from "../../../spc/model/chart.ts";
import type { LimitSet } from "../../../spc/model/limit-set.ts";
import type { Outcome } from "../../../spc/model/outcome.ts";
import { runId } from "../../../spc/model/run.ts";
import type { MonitorInput } from "../../../spc/monitor/characteristic-monitor.ts";
import { normals } from "../../property/spc/seeded.ts";

const everyMs = 150_000;
const startMs = Date.UTC(2026, 10, 25, 6);

/** Subgroups of one value a second; null holds a place. */
export function baselineOf(values: readonly (number | null)[], stepMs = 1000): readonly Subgroup[] {
  return values.map((value, index) => ({
    index,
    atMs: index * stepMs,
    runs: [`run-${index}`],
    values: value === null ? [] : [value],
  }));
}

export function granted<T>(outcome: Outcome<T>): T {
  if (!outcome.ok) throw new Error(`refused: ${outcome.refusal.code}: ${outcome.refusal.detail}`);
  return outcome.value;
}

/** Plateau pressure of a press, with every kind of policy. */
export const plateau: Characteristic = {
  id: "PR-01:mold.plateau",
  station: "PR-01",
  feature: "mold.plateau",
  part: null,
  name: "plateau",
  quantity: "steam-pressure",
  reference: "gauge",
  unit: "bar",
  digits: 3,
  chart: "individuals",
  rules: ["beyond-limit", "nine-on-one-side"],
  specification: { lower: 0.88, upper: 0.96, unit: "bar", origin: "trial" },
  everyMs,
  policies: [
    { rule: "beyond-limit", side: "below", label: "look", doFirst: "Compare with the header", says: "plateau too low" },
    { rule: "nine-on-one-side", label: "act-now", doFirst: "Look at the last nine traces" },
    { rule: "outside-specification", label: "act-now", says: "outside what the mould needs" },
  ],
  main: true,
};

/** Centre 0.92, sigma 0.004, as round as floating point lets them be. */
export function limitsOf(
  characteristic: Characteristic = plateau,
  revision = 1,
  change: Partial<LimitSet> = {},
): LimitSet {
  const next = normals(42);
  const values = Array.from({ length: 200 }, () => 0.92 + 0.004 * next());
  const proposal = granted(
    proposeLimits({
      pair: "individuals",
      subgroups: baselineOf(values, everyMs),
      everyMs,
      unit: characteristic.unit,
      rules: characteristic.rules,
      basis: "chart",
    }),
  );
  return {
    ...proposal,
    location: { centre: 0.92, lower: 0.908, upper: 0.932, sigma: 0.004 },
    id: `${characteristic.id}@${revision}`,
    characteristic: characteristic.id,
    revision,
    effectiveFromMs: 0,
    frozenAtMs: 0,
    proposedBy: "Mira",
    agreedBy: "Jonas",
    reason: "first limits",
    engine: "0.1.0",
    ...change,
  };
}

export const timeOf = (i: number): number => startMs + i * everyMs;
export const runOf = (i: number): string => runId("PR-01", timeOf(i) - 60_000);

/** Points at the expected spacing, from place `from` on. */
export function points(values: readonly (number | null)[], from = 0): MonitorInput[] {
  return values.map((value, i) => ({ kind: "point", run: runOf(from + i), atMs: timeOf(from + i), value }));
}
