import { baselineProposal } from "../../../api/cli/baseline-proposal.ts";
import { characteristicsOf } from "../../../api/cli/characteristics-of.ts";
import { rowGroups } from "../../../api/cli/group-rows.ts";
import { columnsOf, runColumns } from "../../../api/cli/import-columns.ts";
import { rowReader } from "../../../api/cli/import-row.ts";
import type { Site } from "../../../collector/platform/settings/site.ts";
import { historyLines } from "../../../simulator/history.ts";
import type { PlantKey } from "../../../simulator/plant-layout.ts";
import type { RunRecord } from "../../../spc/model/journal-entry.ts";
import type { LimitSet } from "../../../spc/model/limit-set.ts";

const dayMs = 86_400_000;
const pastDays = 60;

/** Limits frozen from what the plant's people wrote down before it began, read and set as the demo does. */
export function limitsOfPast(site: Site, key: PlantKey): ReadonlyMap<string, LimitSet> {
  const fromMs = key.firstMs - pastDays * dayMs;
  const byStation = new Map<string, RunRecord[]>();
  for (const record of pastRuns(site, key, fromMs)) {
    const known = byStation.get(record.run.station);
    if (known === undefined) byStation.set(record.run.station, [record]);
    else known.push(record);
  }
  for (const runs of byStation.values()) runs.sort((a, b) => a.run.endMs - b.run.endMs);
  const sets = new Map<string, LimitSet>();
  for (const one of characteristicsOf(site)) {
    const window = { fromMs, toMs: key.firstMs, basis: "recommended", excluded: {} } as const;
    const proposal = baselineProposal((station) => byStation.get(station) ?? [], one, window);
    if (!proposal.ok) continue;
    sets.set(one.id, {
      ...proposal.value,
      ...{ id: `${one.id}@1`, characteristic: one.id, revision: 1, effectiveFromMs: proposal.value.baseline.toMs },
      ...{ frozenAtMs: key.firstMs, proposedBy: "engineer", agreedBy: "works manager", engine: "score" },
      reason: "simulated past without a fault",
    });
  }
  return sets;
}

/** The plant's spreadsheets, through the product's own reading of them. */
function* pastRuns(site: Site, key: PlantKey, fromMs: number): Generator<RunRecord> {
  const read = rowReader(site, key.firstMs);
  const groups = rowGroups();
  let places: Parameters<typeof read>[1] | undefined;
  let line = 0;
  for (const text of historyLines(key, fromMs, key.firstMs)) {
    line += 1;
    // None of its fields holds a comma or a quote.
    const fields = text.split(",");
    const record = { line, fields, columns: fields.map((_, at) => at + 1) };
    if (places === undefined) {
      const header = columnsOf(record, runColumns);
      if ("mistakes" in header) throw new Error(header.mistakes.join("; "));
      places = header.places;
      continue;
    }
    const row = read(record, places);
    if ("mistakes" in row) throw new Error(row.mistakes.join("; "));
    const { finished, mistake } = groups.add(row);
    if (mistake !== undefined) throw new Error(mistake);
    if (finished !== undefined) yield finished;
  }
  const last = groups.end();
  if (last !== undefined) yield last;
}
