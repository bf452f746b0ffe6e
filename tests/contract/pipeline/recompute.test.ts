import { expect, test } from "vitest";
import { recomputeAskedEntry, runEntry, setUpEntry } from "../../../collector/store/entries.ts";
import type { RunRecord } from "../../../spc/model/journal-entry.ts";
import { runId } from "../../../spc/model/run.ts";
import { collectorRig, type Rig } from "./collector-rig.ts";
import { cycleMs, shotMessages, startMs } from "./press-line.ts";

async function shots(rig: Rig, count: number): Promise<void> {
  for (let place = 0; place < count; place += 1) {
    for (const samples of shotMessages({ press: "PR-01", place, plateau: 0.9 })) rig.commit(samples);
    rig.clock.advance(cycleMs);
    await rig.cut();
  }
  await rig.wait(30);
}

/** A run as an earlier version of the algorithm left it: the journal keeps the first entry of an id. */
function olderRun(place: number, change: Partial<RunRecord["features"][number]> = {}): RunRecord {
  const at = startMs + place * cycleMs;
  const id = runId("PR-01", at);
  const feature = { feature: "mold.plateau", version: 0, unit: "bar", value: 0.777, ...change };
  const times = { startMs: at, endMs: at + 24_000, closedBy: "end-condition" } as const;
  const segments = [
    { name: "fill", fromMs: at, toMs: at + 2_000 },
    { name: "autoclave", fromMs: at + 2_000, toMs: at + 22_000 },
    { name: "vent", fromMs: at + 22_000, toMs: at + 24_000 },
  ];
  const run = { id, station: "PR-01", ...times, segments, context: { part: "OFW-2107" } };
  return { run, imported: false, features: [feature] };
}

const ask = (rig: Rig, fromMs: number, toMs: number): void => {
  const body = { fromMs, toMs, by: "Process engineer", atMs: rig.clock.nowMs(), reason: "another plateau" };
  rig.data().journal.append([recomputeAskedEntry("PR-01", body)]);
};

test("runs are reckoned anew only where somebody asks, a few at a time over restarts; the first entry and its point stay", async () => {
  const rig = collectorRig();
  try {
    rig.data().journal.append([runEntry(olderRun(1)), runEntry(olderRun(2))]);
    await shots(rig, 9);
    expect(rig.entries("revised")).toEqual([]);
    const points = rig.entries("point");
    ask(rig, startMs, startMs + 20 * cycleMs);
    rig.restart();
    await rig.wait(5);
    const revised = rig.entries("revised").map(({ body }) => body);
    expect(revised.map(({ run, revision }) => [run, revision])).toEqual([
      [olderRun(1).run.id, 2],
      [olderRun(2).run.id, 2],
    ]);
    expect(revised[0]!.features).toMatchObject([{ feature: "mold.plateau", version: expect.any(Number) }]);
    expect(revised[0]!.features[0]!.version).toBeGreaterThan(0);
    expect(revised[0]!.features[0]!.value).toBeCloseTo(0.902, 3);
    expect(rig.entries("recomputed").map(({ body }) => body)).toMatchObject([{ runs: 9, revised: 2, goneCount: 0 }]);
    // What was judged stays as it was judged, and so does what the run gave first.
    expect(rig.entries("point")).toEqual(points);
    expect(rig.entries("run").find(({ subject }) => subject === olderRun(1).run.id)?.body).toEqual(olderRun(1));
    // Asked again, nothing is new.
    ask(rig, startMs, startMs + 20 * cycleMs);
    await rig.wait(5);
    expect(rig.entries("revised")).toHaveLength(2);
    expect(rig.entries("recomputed").at(-1)?.body).toMatchObject({ runs: 9, revised: 0 });
  } finally {
    rig.close();
  }
}, 60_000);

test("where readings are gone the numbers stay, and the answer names the runs; what was said late is taken up", async () => {
  const rig = collectorRig();
  try {
    await shots(rig, 3);
    // A run from before there were readings in this folder.
    const old = olderRun(-100);
    const frozen = olderRun(-99, { value: null, refusal: { code: "instrument-fault", detail: "stuck" } });
    const said = { by: "Early lead", note: "", instead: null, reason: "" };
    const words = { tool: "T-7", part: "OFW-2115" };
    rig
      .data()
      .journal.append([
        runEntry(old),
        runEntry(frozen),
        setUpEntry("PR-01", { ...said, words, fromMs: startMs + cycleMs, saidMs: rig.clock.nowMs() }),
      ]);
    ask(rig, startMs - 200 * cycleMs, startMs + 20 * cycleMs);
    await rig.wait(5);
    expect(rig.entries("recomputed")[0]?.body).toMatchObject({ runs: 5, revised: 2, gone: [old.run.id], goneCount: 1 });
    const revised = rig.entries("revised").map(({ body }) => body);
    // The shot's own events told its part; nothing told its tool.
    expect(revised.map(({ context }) => context)).toMatchObject([
      { part: "OFW-2107", tool: "T-7" },
      { part: "OFW-2107", tool: "T-7" },
    ]);
  } finally {
    rig.close();
  }
}, 60_000);
