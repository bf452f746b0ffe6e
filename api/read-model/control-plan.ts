import type { CharacteristicPlan, Site, Station } from "../../collector/platform/settings/site.ts";
import { runsOfPoint } from "../../spc/model/characteristic.ts";
import type { WireControlPlan, WirePlanRow } from "../contract/plan-wire.ts";
import { instant } from "./wire-form.ts";

const urgency = ["act-now", "look", "instrument-fault", "for-review"] as const;

/** One row for each characteristic of each kind of station, in process order: the settings in force, and nothing else. */
export function controlPlan(site: Site, version: string, nowMs: number): WireControlPlan {
  const kinds = [...new Set(site.stations.map(({ kind }) => kind))].map((kind) =>
    site.stations.filter((station) => station.kind === kind),
  );
  const inOrder = kinds.sort((a, b) => site.stages.indexOf(a[0]!.stage) - site.stages.indexOf(b[0]!.stage));
  const rows = inOrder.flatMap((stations) => stations[0]!.plans.map((plan) => rowOf(stations, plan)));
  return { site: site.name, zone: site.zone, at: instant(nowMs), version, rows };
}

function rowOf(stations: readonly Station[], plan: CharacteristicPlan): WirePlanRow {
  const { stage, kind } = stations[0]!;
  const one = plan.characteristic(null);
  const { feature, name, quantity, reference, unit, digits, chart, everyMs, policies } = one;
  const targets = one.plotted?.parts ?? {};
  const parts = one.plotted === undefined ? plan.parts : Object.keys(targets);
  return {
    ...{ stage, kind, runWord: plan.runWord, feature, name, quantity, reference, unit, digits, chart, everyMs },
    stations: stations.map(({ id }) => id),
    by: [...plan.by],
    plotted: one.plotted?.as ?? null,
    specification: one.specification,
    parts: parts.map((part) => ({
      part,
      specification: one.plotted === undefined ? plan.characteristic(part).specification : null,
      target: targets[part]?.target ?? null,
    })),
    subgroup: runsOfPoint(one),
    ewma: one.ewma ?? null,
    rules: [...one.rules],
    byHand: plan.byHand !== null,
    reactions: [...policies]
      .sort((a, b) => urgency.indexOf(a.label) - urgency.indexOf(b.label))
      .map(({ label, rule, side, says, doFirst }) => {
        return { label, rule, side: side ?? null, says: says ?? null, doFirst: doFirst ?? null };
      }),
    source: one.source ?? null,
    confidence: one.confidence ?? null,
  };
}
