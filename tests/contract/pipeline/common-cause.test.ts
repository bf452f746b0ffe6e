import { afterEach, expect, test } from "vitest";
import { type FlagState, noFlags } from "../../../spc/flags/flag.ts";
import { applyEntries } from "../../../spc/flags/fold.ts";
import type { Sample } from "../../../spc/model/sample.ts";
import { siteOf } from "../../demo-site.ts";
import { collectorRig, type Rig } from "./collector-rig.ts";
import { cycleMs, pressText, type Shot, shotMessages, startMs } from "./press-line.ts";

const presses = ["PR-01", "PR-02", "PR-03", "PR-04"];
const fed = presses.map((id) => `  - { id: ${id}, kind: press, line: one, source: GW-PR, fedBy: [BO-1] }`).join("\n");
const site = siteOf(
  pressText
    .replace("every: 1 s, everyInRun", "everyInRun")
    .replace(/( {2}- \{ id: PR-0\d, kind: press, line: one, source: GW-PR \}\n?)+/, `${fed}\n`)
    .replace(
      "stations:",
      "supplies:\n  - { id: BO-1, name: steam header BO-1, feeds: presses, quantities: [steam-pressure], doFirst: Boiler first. }\nstations:",
    ),
);

let rig: Rig;
afterEach(() => rig.close());

/** A shot at every press, 7 s apart: low at these. */
async function round(place: number, low: readonly string[]): Promise<void> {
  const sent = presses.flatMap((press, at): readonly Sample[] => {
    const shot: Shot = { press: "PR-01", place, plateau: low.includes(press) ? 0.8 : 0.91 };
    const moved = (sample: Sample): Sample => ({
      ...sample,
      series: sample.series.replace("PR-01", press),
      tMs: sample.tMs + 7_000 * at,
    });
    return shotMessages(shot).flat().map(moved);
  });
  rig.commit(sent.sort((a, b) => a.tMs - b.tMs));
  rig.clock.advance(Math.max(0, startMs + (place + 1) * cycleMs - rig.clock.nowMs()));
  await rig.cut();
  await rig.wait(20);
}
function flags(): readonly FlagState[] {
  return [...applyEntries(noFlags, rig.data().journal.read({})).values()];
}
function open(): void {
  rig = collectorRig(site);
  for (const press of presses) rig.limits(`${press}:mold.plateau`, 0.91, 1);
}

test("three presses on one header within five minutes stand under one flag, with the first of them named", async () => {
  open();
  await round(0, []);
  await round(1, ["PR-02", "PR-03", "PR-04"]);
  const parent = flags().find(({ common }) => common !== undefined);
  expect(parent).toMatchObject({
    station: "PR-02",
    says: "steam header BO-1: 3 of 4 presses",
    doFirst: "Boiler first.",
    state: "waiting",
    common: { children: [{ station: "PR-02" }, { station: "PR-03" }, { station: "PR-04" }] },
  });
  expect(parent?.evidence).toMatch(/PR-02 first: what they share rather than one of them$/);
  const children = flags().filter(({ common }) => common === undefined);
  expect(children.map(({ parent: under, station, state }) => [under, station, state])).toEqual([
    [parent?.id, "PR-02", "waiting"],
    [parent?.id, "PR-03", "waiting"],
    [parent?.id, "PR-04", "waiting"],
  ]);
});

test("the fourth joins, and a restart finds nothing anew", async () => {
  open();
  await round(0, ["PR-02", "PR-03", "PR-04"]);
  rig.restart();
  await round(1, ["PR-01"]);
  const parents = flags().filter(({ common }) => common !== undefined);
  expect(parents).toHaveLength(1);
  expect(parents[0]).toMatchObject({ says: "steam header BO-1: all 4 presses", signals: 4 });
  const before = rig.data().journal.read({});
  for (const { id } of site.stations) rig.data().journal.saveCheckpoint(`station/${id}`, null);
  rig.restart();
  await rig.wait(30);
  expect(rig.data().journal.read({})).toEqual(before);
});

test("while the presses under it go on signalling, one that flags later joins as well, also over a restart", async () => {
  open();
  for (let place = 0; place < 8; place += 1) {
    if (place === 5) rig.restart();
    await round(place, place < 7 ? ["PR-02", "PR-03", "PR-04"] : presses);
  }
  const parents = flags().filter(({ common }) => common !== undefined);
  expect(parents).toHaveLength(1);
  expect(parents[0]).toMatchObject({ says: "steam header BO-1: all 4 presses" });
});

test("one press, or two, have nothing in common", async () => {
  open();
  await round(0, ["PR-03"]);
  await round(1, ["PR-03", "PR-04"]);
  expect(flags().map(({ common, parent }) => common ?? parent)).toEqual([undefined, undefined]);
});
