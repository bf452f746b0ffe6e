import { patternsByKind, rulesTaken } from "../../../spc/rules/applicability.ts";
import type { Finding, SettingsPath } from "./mistake.ts";
import type { StationKind } from "./schema.ts";

type CharacteristicSettings = StationKind["characteristics"][number];

/** What is plotted of each location chart: it decides which rules the chart takes. */
const located = { individuals: "individuals", "averages-with-s": "average", ewma: "ewma" } as const;

/** Whether a chart, its subgroups and its rules go together. */
export function checkChart(one: CharacteristicSettings, path: SettingsPath): readonly Finding[] {
  return [...subgroupFindings(one, path), ...ewmaFindings(one, path), ...ruleFindings(one, path)];
}

function subgroupFindings(
  { chart, subgroup, anewWith }: CharacteristicSettings,
  path: SettingsPath,
): readonly Finding[] {
  if (chart === "averages-with-s" && subgroup === undefined) {
    const expected = "subgroup: { runs: 4 } or another number of runs beside it";
    return [{ path: [...path, "chart"], found: "averages-with-s without subgroups", expected }];
  }
  if (chart === "individuals" && subgroup !== undefined) {
    const expected = "no subgroup, or chart: averages-with-s or ewma: individuals are single runs";
    return [{ path: [...path, "subgroup"], expected, atKey: true }];
  }
  if (subgroup !== undefined && anewWith !== undefined) {
    return [{ path: [...path, "anewWith"], expected: "nothing of the kind: it stands inside subgroup", atKey: true }];
  }
  return [];
}

function ewmaFindings({ chart, ewma }: CharacteristicSettings, path: SettingsPath): readonly Finding[] {
  if (chart === "ewma" || ewma === undefined) return [];
  return [{ path: [...path, "ewma"], expected: "nothing of the kind, or chart: ewma", atKey: true }];
}

function ruleFindings({ chart, rules }: CharacteristicSettings, path: SettingsPath): readonly Finding[] {
  const taken = rulesTaken[patternsByKind[located[chart]]!];
  return (rules ?? []).flatMap((rule, index): readonly Finding[] => {
    const at = { path: [...path, "rules", index] };
    if ((rules ?? []).indexOf(rule) < index) return [{ ...at, expected: "each rule once" }];
    return taken.includes(rule) ? [] : [{ ...at, expected: `${taken.join(", ")}: no other goes with ${chart}` }];
  });
}
