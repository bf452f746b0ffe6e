import type { Router } from "express";
import { InfluxTrouble } from "../../collector/store/influx/influx-trouble.ts";
import type { RunRecord } from "../../spc/model/journal-entry.ts";
import { endpoints } from "../contract/endpoints.ts";
import { defaultLimit } from "../contract/query.ts";
import type { WireRunSheet } from "../contract/wire.ts";
import { cursor, cursorNumber, page } from "../paging.ts";
import type { ApiParts } from "../parts.ts";
import { Problem } from "../problem.ts";
import { drynessSheet } from "../read-model/dryness-sheet.ts";
import { ladleSheet } from "../read-model/ladle-sheet.ts";
import { readingsGone, revisionsOf } from "../read-model/revisions.ts";
import { neighbours, type RunSheetParts, runMissing, runSnapshots, runTraces } from "../read-model/run-sheet.ts";
import { traceReader } from "../read-model/trace.ts";
import { wireRun } from "../read-model/wire-form.ts";
import { writtenOfRun } from "../read-model/written.ts";
import { serve } from "../serve.ts";

export function runRoutes(router: Router, parts: ApiParts): void {
  const { journal, model, site, clock } = parts;
  const sheet = { site, journal, samples: parts.samples, traces: traceReader(parts.readings) };
  const stations = new Map(site.stations.map((station) => [station.id, station]));
  const wordOf = ({ station, kind }: RunRecord["run"]): string => {
    const place = stations.get(station);
    const runs = kind === undefined ? place : place?.moreRuns.find(({ id }) => id === kind);
    return runs?.runWord ?? "run";
  };

  serve(router, endpoints.runs, ({ query: { station, limit = defaultLimit, after, from, to } }) => {
    if (station !== undefined && !stations.has(station)) throw unknownStation(station, [...stations.keys()]);
    const found = journal.read({
      kinds: ["run"],
      ...(station === undefined ? {} : { station }),
      ...(after === undefined ? {} : { beforeSeq: cursorNumber(after) }),
      ...(from === undefined ? {} : { fromMs: from }),
      ...(to === undefined ? {} : { toMs: to }),
      newestFirst: true,
      limit: limit + 1,
    });
    const { items, next } = page(found, limit, (last) => cursor(last.seq));
    return {
      items: items.flatMap((e) => (e.kind === "run" ? [wireRun(e.body, wordOf(e.body.run))] : [])),
      next,
    };
  });

  serve(router, endpoints.run, async ({ params: { id } }) => {
    const record = model.run(id);
    if (record === undefined) throw new Problem(404, "unknown-run", `no run is named ${id}`);
    const points = model.pointsOfRun(record, clock.nowMs());
    return {
      run: wireRun(record, wordOf(record.run)),
      ...(await tracesOrWhy(sheet, record)),
      snapshots: runSnapshots(sheet, record),
      missing: runMissing(sheet, record),
      points,
      characteristics: model.characteristicsOfRun(record, clock.nowMs()),
      flags: model.flagsOfRun(id),
      byHand: [...writtenOfRun(journal, record)],
      revisions: revisionsOf(journal, record),
      readingsGone: readingsGone(journal, record),
      ladle: ladleSheet({ site, journal, pointsOf: (one) => model.pointsOfRun(one, clock.nowMs()) }, record),
      dryness: drynessSheet(stations.get(record.run.station), record),
      ...neighbours(journal, record),
    };
  });
}

/** A long-term store that does not answer costs the traces of old runs, and nothing else of their sheet. */
async function tracesOrWhy(
  sheet: RunSheetParts,
  record: RunRecord,
): Promise<Pick<WireRunSheet, "traces" | "tracesAway">> {
  try {
    return { traces: await runTraces(sheet, record), tracesAway: null };
  } catch (error) {
    if (!(error instanceof InfluxTrouble)) throw error;
    return { traces: [], tracesAway: error.message };
  }
}

function unknownStation(station: string, stations: readonly string[]): Problem {
  const expected = `one of ${stations.join(", ")}`;
  const errors = [{ place: "query/station", found: JSON.stringify(station), expected }];
  return new Problem(400, "unknown-station", `no station is named ${station}`, { errors });
}
