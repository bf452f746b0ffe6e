import { afterEach, expect, test } from "vitest";
import { limitsEntry } from "../../../collector/store/entries.ts";
import { siteOf } from "../../demo-site.ts";
import { pressLimits } from "../../press-limits.ts";
import { collectorRig, found, type Rig } from "./collector-rig.ts";
import { cycleMs, pressText, shotMessages, startMs } from "./press-line.ts";

const rigs: Rig[] = [];

afterEach(() => {
  for (const rig of rigs.splice(0)) rig.close();
});

const plateau = "PR-01:mold.plateau";
const subgroups = siteOf(
  `${pressText.replace("        main: true", "        main: true\n        chart: averages-with-s\n        subgroup: { runs: 4 }")}
shifts: [{ name: early, from: "06:00" }, { name: late, from: "14:00" }]
`,
);

function rigOf(): Rig {
  const rig = collectorRig(subgroups);
  rigs.push(rig);
  const location = { centre: 0.9, lower: 0.885, upper: 0.915, sigma: 0.005 };
  const spread = { centre: 0.0092, lower: 0, upper: 0.0209, sigma: 0.0039 };
  const set = {
    ...pressLimits(plateau, { location, spread, revision: 1, frozenAtMs: startMs }),
    charts: ["average", "standard-deviation"] as const,
    scheme: { runs: 4, sigma: 0.01, sigmaWithin: 0.01 },
  };
  rig.data().journal.append([limitsEntry("PR-01", set)]);
  return rig;
}

const values = [0.9, 0.91, 0.9, 0.895, 0.9, 0.93, 0.94, 0.935, 0.9, 0.9, 0.905];

async function shot(rig: Rig, place: number): Promise<void> {
  for (const samples of shotMessages({ press: "PR-01", place, plateau: values[place]! })) rig.commit(samples);
  const endMs = startMs + (place + 1) * cycleMs;
  rig.clock.advance(Math.max(0, endMs - rig.clock.nowMs()));
  await rig.wait(6);
}

async function all(rig: Rig, restartAfter: number | null): Promise<void> {
  for (const place of values.keys()) {
    await shot(rig, place);
    if (place === restartAfter) rig.restart();
  }
}

test("shots become averages of four with s, judged under limits of subgroups; what is left waits", async () => {
  const rig = rigOf();
  await all(rig, null);
  const points = rig.entries("point").map(({ body }) => body);
  expect(points.map(({ location }) => location.verdict)).toEqual(["within", "above"]);
  expect(points.map(({ members }) => members?.length)).toEqual([4, 4]);
  expect(rig.entries("run")).toHaveLength(11);
  expect(rig.entries("signal").map(({ body }) => [body.signal.rule, body.signal.on])).toContainEqual([
    "beyond-limit",
    "location",
  ]);
  expect(rig.log.join("")).not.toContain("does not fit");
});

test("ended and begun again in the middle of a subgroup, at any run, all is the same as in one go", async () => {
  const whole = rigOf();
  await all(whole, null);
  const expected = found(whole.data().journal.read({}));
  for (const place of [0, 1, 2, 3, 5, 6]) {
    const rig = rigOf();
    await all(rig, place);
    expect(found(rig.data().journal.read({}))).toEqual(expected);
  }
});

test("a flag that nobody takes before its shift ends is unseen in the journal once, through a restart", async () => {
  const rig = rigOf();
  await all(rig, null);
  const [flag] = rig.entries("signal").map(({ body }) => body.signal.flag);
  expect(rig.entries("unseen")).toEqual([]);
  // 06:00 UTC is 07:00 at the site: the early shift ends seven hours later.
  rig.clock.advance(startMs + 7 * 3_600_000 - rig.clock.nowMs() - 30_000);
  await rig.wait(20);
  expect(rig.entries("unseen").filter(({ subject }) => subject === flag)).toEqual([]);
  await rig.wait(20);
  rig.restart();
  await rig.wait(5);
  expect(rig.entries("unseen").filter(({ subject }) => subject === flag)).toMatchObject([
    { body: { flag, shift: "early", endedMs: startMs + 7 * 3_600_000 } },
  ]);
});
