import { expect, test } from "vitest";
import { setUpEntry, setUpId } from "../../../collector/store/entries.ts";
import type { SetUp } from "../../../spc/model/journal-entry.ts";
import { collectorRig, found, type Rig } from "./collector-rig.ts";
import { cycleMs, shotMessages, startMs } from "./press-line.ts";

const shot = async (rig: Rig, place: number): Promise<void> => {
  for (const samples of shotMessages({ press: "PR-01", place, plateau: 0.9 + (place % 3) / 100 })) rig.commit(samples);
  rig.clock.advance(cycleMs);
  await rig.cut();
};
const say = (rig: Rig, fromMs: number, words: SetUp["words"], change: Partial<SetUp> = {}): string => {
  const saidMs = rig.clock.nowMs();
  const body = { words, fromMs, saidMs, by: "Early lead", note: "", instead: null, reason: "", ...change };
  const entry = setUpEntry("PR-01", body);
  rig.data().journal.append([entry]);
  return setUpId(entry.id);
};
const tools = (rig: Rig) => rig.entries("run").map(({ body }) => body.run.context["tool"] ?? "-");

test("runs that begin later have what was said, the moving range begins anew, and a kill in between changes nothing", async () => {
  const rigs = [false, true].map((killed) => ({ killed, rig: collectorRig() }));
  try {
    for (const { rig, killed } of rigs) {
      for (let place = 0; place < 3; place += 1) await shot(rig, place);
      const first = say(rig, startMs + 3 * cycleMs - 1_000, { tool: "T-2" });
      if (killed) rig.restart();
      for (let place = 3; place < 6; place += 1) await shot(rig, place);
      // Said late, of shots that are cut already: they keep what they had.
      say(rig, startMs + cycleMs, { tool: "T-1" });
      if (killed) rig.restart();
      for (let place = 6; place < 8; place += 1) await shot(rig, place);
      // What is cut already keeps the word that was wrong.
      say(rig, startMs + 3 * cycleMs - 1_000, { tool: "T-3" }, { instead: first, reason: "read the wrong card" });
      if (killed) rig.restart();
      for (let place = 8; place < 11; place += 1) await shot(rig, place);
      await rig.wait(30);
    }
    const [whole, cut] = rigs.map(({ rig }) => rig);
    expect(tools(whole!)).toEqual(["-", "-", "-", "T-2", "T-2", "T-2", "T-2", "T-3", "T-3", "T-3", "T-3"]);
    const points = whole!.entries("point").filter(({ subject }) => subject === "PR-01:mold.plateau");
    expect(points.map(({ body }) => body.spread.value !== null)).toEqual([
      ...[false, true, true, false, true, true, true, false, true, true, true],
    ]);
    expect(whole!.entries("set-up-heard")).toHaveLength(3);
    expect(found(cut!.data().journal.read({}))).toEqual(found(whole!.data().journal.read({})));
  } finally {
    for (const { rig } of rigs) rig.close();
  }
}, 60_000);
