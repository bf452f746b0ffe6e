import { afterEach, expect, test } from "vitest";
import { proposalDecisions } from "../../../api/proposals.ts";
import { readModel } from "../../../api/read-model/read-model.ts";
import { askTrial } from "../../../api/trials.ts";
import { memoryBus } from "../../../collector/platform/bus.ts";
import type { PointRecord } from "../../../spc/model/journal-entry.ts";
import { normals } from "../../property/spc/seeded.ts";
import { collectorRig, type Rig } from "./collector-rig.ts";
import { cycleMs, shotMessages, site, startMs } from "./press-line.ts";

let rig: Rig;
afterEach(() => rig.close());

const plateau = "PR-01:mold.plateau";
const engineer = { id: "pe", name: "Process engineer" };
const manager = { id: "wm", name: "Works manager" };
const next = normals(21);

async function shots(from: number, values: readonly number[]): Promise<void> {
  for (const [at, value] of values.entries()) {
    for (const samples of shotMessages({ press: "PR-01", place: from + at, plateau: value })) rig.commit(samples);
  }
  const endMs = startMs + (from + values.length) * cycleMs;
  rig.clock.advance(Math.max(0, endMs - rig.clock.nowMs()));
  await rig.wait(6);
}

const steady = (count: number): number[] => Array.from({ length: count }, () => 0.9 + 0.004 * next());
const points = (): readonly PointRecord[] => rig.entries("point").map(({ body }) => body);

const actorOf = (person: typeof engineer) => ({ ...person, role: "process-engineer", device: "a test" });

/** Phase I over what the line itself stored, proposed by one and agreed by another. */
async function agreeOn(revision: number): Promise<void> {
  const { journal } = rig.data();
  const model = readModel(site, journal);
  await model.load();
  const charted = model.chartedOf(plateau)!;
  const ask = { window: { last: 30 }, basis: "chart" as const, exclusions: [] };
  const asked = await askTrial({ journal }, charted, ask, engineer, rig.clock.nowMs());
  if (!asked.ok || !asked.value.trial.trial.ok) throw new Error("the window gave no limits");
  const { request, trial } = asked.value;
  if (!trial.trial.ok) throw new Error("the window gave no limits");
  const decide = proposalDecisions({ journal, bus: memoryBus(), clock: rig.clock, access: rig.data() });
  const { fromMs, toMs } = request.window;
  const proposed = decide.propose(
    charted.characteristic,
    {
      ...{ characteristic: plateau, by: engineer, reason: `window ${revision}`, engine: "test", shown: {} },
      ...{ limits: trial.trial.value.limits, window: { fromMs, toMs }, exclusions: [] },
    },
    actorOf(engineer),
  );
  if (!proposed.ok) throw new Error(proposed.detail);
  expect(decide.agree(charted.characteristic, proposed.proposal, actorOf(engineer))).toMatchObject({
    why: "same-person",
  });
  expect(decide.agree(charted.characteristic, proposed.proposal, actorOf(manager))).toMatchObject({ ok: true });
}

test("limits that two people agreed on rule the runs that come next, and no run before", async () => {
  rig = collectorRig();
  await shots(0, steady(30));
  const before = JSON.stringify(points());
  expect(points().every(({ limitSet }) => limitSet === null)).toBe(true);
  await agreeOn(1);
  await shots(30, [0.9, 0.8]);
  expect(JSON.stringify(points().slice(0, 30))).toBe(before);
  expect(
    points()
      .slice(30)
      .map(({ limitSet, location }) => [limitSet, location.verdict]),
  ).toEqual([
    [`${plateau}@1`, "within"],
    [`${plateau}@1`, "below"],
  ]);
  expect(rig.entries("applied")[0]?.body).toEqual({
    ...{ entry: `limits/${plateau}@1`, characteristic: plateau, afterRun: points()[29]!.run },
  });
  await shots(32, steady(28));
  await agreeOn(2);
  await shots(60, [0.9]);
  const sets = points().map(({ limitSet }) => limitSet);
  expect(sets.slice(30, 60).every((set) => set === `${plateau}@1`)).toBe(true);
  expect(sets.at(-1)).toBe(`${plateau}@2`);
});

test("after a restart the same limits rule, and their numbers are those that were proposed", async () => {
  rig = collectorRig();
  await shots(0, steady(30));
  await agreeOn(1);
  const [set] = rig.entries("limits");
  const [proposed] = rig.entries("proposed");
  expect(set?.body).toMatchObject(proposed!.body.limits);
  rig.restart();
  await shots(30, [0.9]);
  const last = points().at(-1)!;
  expect(last).toMatchObject({ limitSet: `${plateau}@1`, location: { centre: set!.body.location.centre } });
  expect(rig.entries("limits")).toHaveLength(1);
});
