import type { Site, Station } from "../../collector/platform/settings/site.ts";
import type { Journal } from "../../collector/store/journal.ts";
import { ladleLine, ladlePours } from "../../spc/features/ladle-pours.ts";
import { type LadleStand, ladleRule } from "../../spc/features/ladle-rule.ts";
import type { RunRecord } from "../../spc/model/journal-entry.ts";
import { type Outcome, ok, refuse } from "../../spc/model/outcome.ts";
import { chartOf } from "../../spc/model/plotted-as.ts";
import type { WireLadle, WirePoint } from "../contract/wire.ts";

export interface LadleParts {
  readonly site: Site;
  readonly journal: Journal;
  readonly pointsOf: (record: RunRecord) => readonly WirePoint[];
}

/** The ladle of a ladle's own sheet, or of one of its pours; null where the station has none. */
export function ladleSheet(parts: LadleParts, record: RunRecord): WireLadle | null {
  const station = parts.site.stations.find(({ id }) => id === record.run.station);
  const kind = station?.plans.find(({ feature }) => feature === "ladle.first")?.runKind ?? null;
  if (station === undefined || kind === null || record.imported || record.run.closedBy === "by-hand") return null;
  const ladle = record.run.kind === kind ? record : around(parts.journal, record, kind);
  return ladle === null ? null : wireLadle(parts, station, ladle);
}

/** A pour's ladle ends within so long of it. */
const longestLadleMs = 4 * 3_600_000;

function around(journal: Journal, { run }: RunRecord, kind: string): RunRecord | null {
  if (run.kind !== undefined) return null;
  const span = { fromMs: run.endMs, toMs: run.endMs + longestLadleMs } as const;
  const found = journal.read({ kinds: ["run"], station: run.station, ...span, orderBy: "time" });
  for (const entry of found) {
    if (entry.kind !== "run") continue;
    const { run: other } = entry.body;
    if (other.kind === kind && other.startMs <= run.startMs && other.endMs >= run.endMs) return entry.body;
  }
  return null;
}

function wireLadle({ journal, pointsOf }: LadleParts, station: Station, ladle: RunRecord): WireLadle {
  const { run } = ladle;
  const inside = pouredFrom(journal, ladle);
  const trace = { run, samples: {}, everyMs: {}, ambientPressureHpa: 0, inside };
  const pours = ladlePours(trace);
  const known = pours.ok ? pours.value : [];
  const line = ladleLine(known);
  const on = (minute: number): number | null =>
    line.ok ? line.value.at + line.value.slope * (minute - line.value.x0) : null;
  const flasks = inside
    .flatMap((one): WireLadle["flasks"] => {
      const position = Number(one.run.context["position"] ?? Number.NaN);
      if (!Number.isInteger(position) || position < 1) return [];
      const pour = known.find((other) => other.position === position);
      const t1 = one.features.find(({ feature }) => feature === "pour.T1");
      const expected = pour === undefined ? null : on(pour.minute);
      return [
        {
          ...{ position, run: one.run.id, value: pour?.cel ?? null, expected },
          residual: pour === undefined || expected === null ? null : pour.cel - expected,
          refusal: pour === undefined ? (t1?.refusal?.detail ?? "no first metal") : null,
        },
      ];
    })
    .sort((a, b) => a.position - b.position);
  const points = pointsOf(ladle);
  const standOf = (feature: string): LadleStand => {
    const point = points.find(({ characteristic }) => characteristic.split(":")[1] === feature);
    return point === undefined || point.location.lower === null ? "unknown" : stands[point.location.verdict];
  };
  const last = Math.max(0, ...flasks.map(({ position }) => position));
  const byPosition = Array.from({ length: last }, (_, at): Outcome<number> => {
    const value = flasks.find(({ position }) => position === at + 1)?.value ?? null;
    return value === null ? refuse("no-pours", `flask ${at + 1} gave no first metal`) : ok(value);
  });
  const least = leastOf(station, inside[0]?.run.context ?? run.context);
  const rule = ladleRule(
    {
      first: standOf("ladle.first"),
      firstMinusLine: standOf("ladle.first_minus_line"),
      slope: standOf("ladle.slope"),
      residuals: byPosition.map((_, at) => standOf(`ladle.residual.${at + 1}`)),
    },
    byPosition,
    least,
  );
  return {
    run: run.id,
    name: run.context["ladle"] ?? null,
    features: ["ladle.first", "ladle.slope", "ladle.first_minus_line"].flatMap((feature) => {
      const found = ladle.features.find((one) => one.feature === feature);
      return found === undefined ? [] : [{ ...found, stand: standOf(feature) }];
    }),
    flasks,
    like: rule.like,
    outside: [...rule.outside],
    least,
  };
}

const stands = { below: "low", within: "within", above: "high", "not-evaluable": "unknown" } as const;

/** The pours that ended inside, oldest first. */
function pouredFrom(journal: Journal, { run }: RunRecord): readonly RunRecord[] {
  return journal
    .read({ kinds: ["run"], station: run.station, fromMs: run.startMs, toMs: run.endMs + 1, orderBy: "time" })
    .flatMap((entry) => (entry.kind === "run" ? [entry.body] : []))
    .filter(({ run: one }) => one.kind === undefined && one.startMs >= run.startMs && one.endMs <= run.endMs);
}

/** What each flask must not fall below, from the specification of its part. */
function leastOf(station: Station, context: RunRecord["run"]["context"]): number | null {
  const plan = station.plans.find(({ feature }) => feature === "pour.T1");
  if (plan === undefined) return null;
  const { specification, plotted } = plan.characteristic(chartOf({ context }, plan.by));
  const lower = specification?.lower;
  if (lower === undefined) return null;
  if (plotted === undefined) return lower;
  const target = plotted.parts[context["part"] ?? ""]?.target;
  return plotted.as === "deviation" && target !== undefined ? target + lower : null;
}
