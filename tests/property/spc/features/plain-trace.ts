import type { FeatureExtractor, RunTrace } from "../../../../spc/model/run.ts";
import type { Sample } from "../../../../spc/model/sample.ts";
import { modelRun, modelStartMs, signal, traceOf } from "./plant-models.ts";

const segments = ["fill", "cook", "press", "drain", "cool", "vacuum", "eject", "final"];

/** A run of ten minutes in which every role that a feature reads tells something, for features that need no more. */
export function plainTrace(feature: FeatureExtractor): RunTrace {
  const run = modelRun(
    600,
    segments.map((name, i) => [name, 75 * i, 75 * i + 75]),
    {
      hold: "5.5",
      minutes: "42",
      preheat: "3",
      area: "120",
      flask: "FA-1",
      opened: "2026-11-24T08:00:00Z",
      dipped: "2026-11-25T08:00:00Z",
    },
  );
  const events = new Set(["door", "draw", "hold", "top-up"]);
  const trace = traceOf(
    run,
    Object.fromEntries(
      feature.roles.map((role) => {
        if (events.has(role)) {
          const told = (tS: number, value: number): Sample => ({
            series: `M-1/${role}`,
            tMs: modelStartMs + tS * 1000,
            value,
            quality: "good",
            attributes: { flask: "FA-1" },
          });
          return [role, [1000, [told(60, 1), told(240, 0)]]];
        }
        const heavier = role === "wet-weight" || role === "inspected" ? 40 : 0;
        return [role, signal(role, [0, 600], 1000, 0.01, (tS) => 50 + heavier + Math.sin(tS) + 0.3 * Math.sin(7 * tS))];
      }),
    ),
  );
  const earlier = (role: string): readonly Sample[] =>
    (trace.samples[role] ?? []).map((one) => ({ ...one, tMs: one.tMs - 600_000 }));
  return { ...trace, before: Object.fromEntries(feature.roles.map((role) => [role, earlier(role)])) };
}
