import { expect, test } from "vitest";
import { changesIn } from "../../../../api/read-model/changes.ts";
import { chartedSet } from "../../../../api/read-model/charted.ts";
import { flagBook } from "../../../../api/read-model/flag-book.ts";
import { readModel } from "../../../../api/read-model/read-model.ts";
import { loadSettings } from "../../../../collector/platform/settings/load.ts";
import type { Site } from "../../../../collector/platform/settings/site.ts";
import { limitsEntry, pointEntry, runEntry, signalEntry } from "../../../../collector/store/entries.ts";
import type { RunRecord } from "../../../../spc/model/journal-entry.ts";
import type { LimitSet } from "../../../../spc/model/limit-set.ts";
import { runId } from "../../../../spc/model/run.ts";
import { characteristicMonitor } from "../../../../spc/monitor/characteristic-monitor.ts";
import { memoryJournal } from "../../../fakes/memory-journal.ts";
import { pressLimits } from "../../../press-limits.ts";
import { siteText } from "../../platform/settings/site-text.ts";

const plateau = "PR-01:mold.plateau";
const startMs = Date.UTC(2026, 10, 25, 8);
const cycleMs = 6 * 60_000;

function siteWith(lines: string): Site {
  const loaded = loadSettings(Buffer.from(siteText.replace("        main: true", `        main: true\n${lines}`)));
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.mistakes));
  return loaded.site;
}
const site = siteWith("        chart: averages-with-s\n        subgroup: { runs: 4 }");

const set: LimitSet = {
  ...pressLimits(plateau, { revision: 1, effectiveFromMs: 0, frozenAtMs: 0 }),
  location: { centre: 0.9, lower: 0.885, upper: 0.915, sigma: 0.005 },
  spread: { centre: 0.0092, lower: 0, upper: 0.0209, sigma: 0.0039 },
  charts: ["average", "standard-deviation"],
  scheme: { runs: 4, sigma: 0.01, sigmaWithin: 0.01 },
};

function record(place: number, value: number | null, imported = false): RunRecord {
  const start = startMs + place * cycleMs;
  const run = {
    ...{ id: runId("PR-01", start), station: "PR-01", startMs: start, endMs: start + 100_000 },
    ...{ closedBy: imported ? ("imported" as const) : ("end-condition" as const), segments: [], context: {} },
  };
  return { run, imported, features: [{ feature: "mold.plateau", version: 1, unit: "bar", value }] };
}

/** Entries as the collector writes them. */
function told(values: readonly (number | null)[]) {
  const monitor = characteristicMonitor(site.stations[0]!.plans[0]!.characteristic(null));
  let { state } = monitor.step(monitor.initial, { kind: "limits", set });
  return values.flatMap((value, place) => {
    const one = record(place, value);
    const next = monitor.step(state, { kind: "point", run: one.run.id, atMs: one.run.endMs, value });
    state = next.state;
    const found = next.out.map((out) =>
      out.kind === "point" ? pointEntry("PR-01", out.point) : signalEntry(out.signal, out.signal.atMs),
    );
    return [runEntry(one), ...found];
  });
}

async function modelOf(entries: Parameters<ReturnType<typeof memoryJournal>["append"]>[0], of = site) {
  const journal = memoryJournal();
  journal.append(entries);
  const model = readModel(of, journal);
  await model.load();
  return { model, journal };
}

const nowMs = startMs + 100 * cycleMs;
const values = [0.9, 0.91, 0.89, 0.9, 0.95, 0.94, 0.93, 0.94, 0.9, 0.9];

test("what waits for its point is told, after a start as well as live, and each run knows the point it is part of", async () => {
  const entries = told(values);
  const { model } = await modelOf([limitsEntry("PR-01", set), ...entries]);
  const found = model.characteristic(plateau, nowMs)!;
  expect(found).toMatchObject({ chart: "averages-with-s", subgroup: 4, limits: { id: set.id } });
  expect(found.waiting.map(({ run }) => run)).toEqual([8, 9].map((place) => record(place, 0).run.id));
  expect(found.points.streamed).toBe(2);
  const part = model.pointsOfRun(record(5, 0.94), nowMs);
  expect(part.map(({ run }) => run)).toEqual([record(7, 0).run.id]);
  expect(part[0]!.members!.map(({ value }) => value)).toEqual([0.95, 0.94, 0.93, 0.94]);
  expect(model.pointsOfRun(record(9, 0.9), nowMs)).toEqual([]);

  const live = await modelOf([limitsEntry("PR-01", set)]);
  for (const [at, entry] of entries.entries()) {
    live.journal.append([entry]);
    live.model.catchUp();
    const { waiting } = live.model.characteristic(plateau, nowMs)!;
    expect(waiting.length).toBeLessThanOrEqual(4);
    if (at === entries.length - 1) expect(waiting).toEqual(found.waiting);
  }
});

test("capability is about single runs, whatever is plotted of them", async () => {
  const { model } = await modelOf([
    limitsEntry("PR-01", set),
    ...told(Array.from({ length: 60 }, (_, i) => 0.9 + 0.01 * Math.sin(i * i))),
  ]);
  expect(model.characteristic(plateau, nowMs)!.capability.n).toBe(60);
});

test("imported runs are drawn in the same subgroups, and a page of them equals that part of the whole", async () => {
  const entries = Array.from({ length: 22 }, (_, i) => runEntry(record(i - 40, 0.9 + 0.001 * (i % 7), true)));
  const { model } = await modelOf([limitsEntry("PR-01", set), ...entries]);
  const whole = model.points(plateau, { order: "oldest-first", limit: 100 }, nowMs)!.items;
  expect(whole.map(({ members }) => members!.length)).toEqual([4, 4, 4, 4, 4, 2]);
  expect(whole.at(-1)!.subgroup).toBe(-1);
  const first = model.points(plateau, { order: "oldest-first", limit: 4 }, nowMs)!;
  const rest = model.points(plateau, { order: "oldest-first", limit: 4, after: first.next! }, nowMs)!;
  expect([...first.items, ...rest.items]).toEqual(whole);
  expect(model.characteristic(plateau, nowMs)!.points.imported).toBe(6);
  expect(model.pointsOfRun(record(-35, 0.9, true), nowMs)).toHaveLength(1);
});

test("limits of other charts rule nothing once the settings have changed", async () => {
  const individuals = siteWith("        chart: individuals");
  const { model } = await modelOf([limitsEntry("PR-01", set)], individuals);
  expect(model.characteristic(plateau, nowMs)!.limits).toBeNull();
  const fewer = siteWith("        chart: averages-with-s\n        subgroup: { runs: 5 }");
  expect((await modelOf([limitsEntry("PR-01", set)], fewer)).model.characteristic(plateau, nowMs)!.limits).toBeNull();
});

test("a run that waits is news of its characteristic, so that open pages ask for it anew", async () => {
  const { model, journal } = await modelOf(told([0.9]));
  expect(model.characteristic(plateau, nowMs)!.waiting).toHaveLength(1);
  const changes = changesIn(
    journal.read({}),
    chartedSet(site),
    flagBook(() => null),
  );
  expect(changes.limits).toEqual([plateau]);
});
