import { expect, test } from "vitest";
import { readModel } from "../../../../api/read-model/read-model.ts";
import { loadSettings } from "../../../../collector/platform/settings/load.ts";
import { pointEntry, runEntry } from "../../../../collector/store/entries.ts";
import type { JournalEntry, RunRecord } from "../../../../spc/model/journal-entry.ts";
import { runId } from "../../../../spc/model/run.ts";
import { characteristicMonitor } from "../../../../spc/monitor/characteristic-monitor.ts";
import { memoryJournal } from "../../../fakes/memory-journal.ts";
import { siteText } from "../../platform/settings/site-text.ts";

const nowMs = Date.UTC(2026, 10, 25, 8);

/** Charts by a word that the settings name no values of: which there are, runs alone say. */
const site = (() => {
  const loaded = loadSettings(
    Buffer.from(siteText.replace("        main: true", "        main: true\n        by: [tool]")),
  );
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.mistakes));
  return loaded.site;
})();

function record(place: number, tool: string, imported: boolean): RunRecord {
  const startMs = nowMs - (1000 - place) * 360_000;
  const run = {
    ...{ id: runId("PR-01", startMs), station: "PR-01", startMs, endMs: startMs + 100_000, segments: [] },
    ...{ closedBy: imported ? ("imported" as const) : ("end-condition" as const), context: { tool } },
  };
  const features = [{ feature: "mold.plateau", version: 1, unit: "bar", value: 0.9 + 0.001 * (place % 7) }];
  return { run, imported, features };
}

/** Imported runs of one tool, then as many of two more that each ran once, long before the newest ones of another. */
function entries(): JournalEntry[] {
  const states = new Map<string, ReturnType<typeof characteristicMonitor>["initial"]>();
  const streamed = (place: number, tool: string): JournalEntry[] => {
    const monitor = characteristicMonitor(site.stations[0]!.plans[0]!.characteristic(tool));
    const one = record(place, tool, false);
    const event = { kind: "point", run: one.run.id, atMs: one.run.endMs, value: one.features[0]!.value } as const;
    const { state, out } = monitor.step(states.get(tool) ?? monitor.initial, event);
    states.set(tool, state);
    return [runEntry(one), ...out.flatMap((said) => (said.kind === "point" ? [pointEntry("PR-01", said.point)] : []))];
  };
  return [
    ...Array.from({ length: 40 }, (_, place) => runEntry(record(place, "M-1 old", true))),
    ...streamed(40, "M-2 / left"),
    ...streamed(41, "M-3"),
    ...Array.from({ length: 400 }, (_, i) => streamed(50 + i, "M-4")).flat(),
  ];
}

test("a start finds what a model that saw it all come has: charts that runs alone name, imported runs, counts", async () => {
  const all = entries();
  const journal = memoryJournal();
  const live = readModel(site, journal);
  await live.load();
  journal.append(all);
  live.catchUp();
  const started = readModel(site, journal);
  await started.load();

  expect(live.characteristicIds()).toHaveLength(4);
  expect(started.characteristicIds().toSorted()).toEqual(live.characteristicIds().toSorted());
  for (const id of live.characteristicIds())
    expect(started.characteristic(id, nowMs)).toEqual(live.characteristic(id, nowMs));
  expect(started.totals()).toEqual(live.totals());
  expect(started.totals()).toMatchObject({ runs: 442, points: 402 });
  expect(started.seq).toBe(live.seq);
});
