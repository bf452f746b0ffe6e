import { afterEach, expect, test } from "vitest";
import { type FlagState, noFlags } from "../../../spc/flags/flag.ts";
import { applyEntries } from "../../../spc/flags/fold.ts";
import type { Sample } from "../../../spc/model/sample.ts";
import { siteOf } from "../../demo-site.ts";
import { collectorRig, type Rig } from "./collector-rig.ts";
import { cycleMs, pressText, shotMessages, startMs } from "./press-line.ts";

const site = siteOf(
  pressText.replace(
    "unit: bar, every: 1 s, everyInRun: 500 ms }",
    "unit: bar, everyInRun: 500 ms, resolution: 0.001, instrument: { is: transmitter, noise: 0.002 } }",
  ),
);

let rig: Rig;
afterEach(() => rig.close());

/** Shots of PR-01 by place; the transmitter repeats one value in those that are stuck. */
async function shoot(places: readonly number[], stuck: readonly number[] = []): Promise<void> {
  for (const place of places) {
    for (const samples of shotMessages({ press: "PR-01", place, plateau: 0.91 })) {
      rig.commit(stuck.includes(place) ? samples.map(frozen) : samples);
      rig.clock.advance(Math.max(0, startMs + (place + 1) * cycleMs - rig.clock.nowMs()));
      await rig.cut();
    }
  }
  await rig.wait(30);
}
function frozen(sample: Sample): Sample {
  return sample.series.endsWith("/pressure") ? { ...sample, value: 0.431, quality: "good" } : sample;
}
function flags(): readonly FlagState[] {
  return [...applyEntries(noFlags, rig.data().journal.read({})).values()];
}
const pointsOf = (characteristic: string) =>
  rig
    .entries("point")
    .filter(({ subject }) => subject === characteristic)
    .map(({ body }) => body);

test("a stuck transmitter is one flag of the instrument, never of the process, and its chart goes on afterwards", async () => {
  rig = collectorRig(site);
  rig.limits("PR-01:mold.plateau", 0.91, 1);
  await shoot([0, 1, 2, 3, 4, 5], [2, 3]);
  const [flag, ...others] = flags();
  expect(others).toEqual([]);
  expect(flag).toMatchObject({
    label: "instrument-fault",
    says: "pressure is stuck",
    series: ["PR-01/pressure"],
    characteristic: null,
    faultsOn: [],
  });
  expect(flag?.evidence).toMatch(/^pressure read 0\.431 bar \d+ times in a row/);
  const points = pointsOf("PR-01:mold.plateau");
  expect(points.map(({ location }) => location.verdict)).toEqual([
    ...["within", "within", "not-evaluable", "not-evaluable", "within", "within"],
  ]);
  expect(points[2]?.refusal).toMatchObject({
    code: "instrument-fault",
    detail: expect.stringMatching(/^pressure read/),
  });
  expect(rig.entries("signal")).toEqual([]);
});

test("a second fault joins the flag while it is open, and opens another once somebody closed it", async () => {
  rig = collectorRig(site);
  await shoot([0, 1, 2, 3, 4], [1, 3]);
  expect(flags()).toHaveLength(1);
  expect(flags()[0]).toMatchObject({ signals: 2, faultsOn: [] });
  const { id, station } = flags()[0]!;
  const body = { flag: id, by: "lead", atMs: rig.clock.nowMs(), cause: "sensor", note: "" };
  rig.data().journal.append([{ kind: "done", body, id: `done/${id}`, station, subject: id, atMs: body.atMs }]);
  await shoot([6, 7], [6]);
  expect(flags().map(({ state }) => state)).toEqual(["done", "waiting"]);
});

test("a restart in the middle of a fault and a second cut of the same readings change nothing", async () => {
  rig = collectorRig(site);
  await shoot([0, 1], [1]);
  rig.restart();
  await shoot([2, 3], [2]);
  const before = rig.data().journal.read({});
  // As if every checkpoint were lost.
  for (const station of site.stations) rig.data().journal.saveCheckpoint(`station/${station.id}`, null);
  rig.restart();
  await rig.wait(30);
  expect(rig.data().journal.read({})).toEqual(before);
  expect(before.filter(({ kind }) => kind === "instrument").length).toBeGreaterThanOrEqual(2);
});
