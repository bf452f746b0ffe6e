import { afterEach, expect, test } from "vitest";
import type { Sample } from "../../../spc/model/sample.ts";
import { siteOf } from "../../demo-site.ts";
import { collectorRig, type Rig } from "./collector-rig.ts";
import { shotMessages, startMs, tableText } from "./press-line.ts";

const rigs: Rig[] = [];

afterEach(() => {
  for (const rig of rigs.splice(0)) rig.close();
});

function rigOf(...args: Parameters<typeof collectorRig>): Rig {
  const rig = collectorRig(...args);
  rigs.push(rig);
  return rig;
}

/** Lets seconds go by in which these presses send an idle pressure once a second, stamped `behindMs` in the past. */
async function idle(rig: Rig, seconds: number, presses: readonly string[], behindMs = 0): Promise<void> {
  for (let second = 0; second < seconds; second += 1) {
    const tMs = rig.clock.nowMs() - behindMs;
    rig.commit(presses.map((press): Sample => ({ series: `${press}/pressure`, tMs, value: 0.05, quality: "good" })));
    await rig.wait(1);
  }
}

const freshness = (rig: Rig, station = "PR-01") =>
  rig
    .line()
    .freshness()
    .find((one) => one.station === station);

test("an instrument that says nothing for a minute, while its source speaks, becomes an instrument's flag once", async () => {
  const rig = rigOf();
  await idle(rig, 10, ["PR-01", "PR-02"]);
  await idle(rig, 59, ["PR-02"]);
  expect(rig.entries("silence")).toHaveLength(0);
  await idle(rig, 5, ["PR-02"]);
  expect(rig.entries("silence").map(({ body }) => body)).toEqual([
    expect.objectContaining({
      flag: "PR-01.pressure:silence:20261125T060009000Z",
      station: "PR-01",
      series: ["PR-01/pressure"],
      source: "GW-PR",
      wholeSource: false,
      sinceMs: startMs + 9_000,
    }),
  ]);
});

test("when everything of a source falls silent there is one flag, for the source", async () => {
  const rig = rigOf();
  await idle(rig, 10, ["PR-01", "PR-02"]);
  await rig.wait(90);
  expect(rig.entries("silence").map(({ body }) => body)).toEqual([
    expect.objectContaining({ flag: "GW-PR:silence:20261125T060009000Z", wholeSource: true }),
  ]);
});

test("a further silence joins the flag while it is open, and opens a new one when a person has closed it", async () => {
  const rig = rigOf();
  await idle(rig, 3, ["PR-01", "PR-02"]);
  await idle(rig, 70, ["PR-02"]);
  await idle(rig, 3, ["PR-01", "PR-02"]);
  await idle(rig, 70, ["PR-02"]);
  const flags = (): readonly string[] => rig.entries("silence").map(({ body }) => body.flag);
  expect(flags()).toHaveLength(2);
  expect(new Set(flags()).size).toBe(1);
  const flag = flags()[0]!;
  const body = { flag, by: "shift lead", atMs: rig.clock.nowMs(), cause: "sensor or wiring", note: "" };
  rig
    .data()
    .journal.append([{ kind: "done", body, id: `done/${flag}`, station: "PR-01", subject: flag, atMs: body.atMs }]);
  await idle(rig, 5, ["PR-02"]);
  expect(flags()).toHaveLength(2);
  await idle(rig, 3, ["PR-01", "PR-02"]);
  await idle(rig, 70, ["PR-02"]);
  expect(new Set(flags()).size).toBe(2);
});

test("our own absence is nobody's silence, and a restart does not find a silence twice", async () => {
  const rig = rigOf();
  await idle(rig, 5, ["PR-01", "PR-02"]);
  rig.clock.advance(3_600_000);
  rig.restart();
  await rig.wait(50);
  expect(rig.entries("silence")).toHaveLength(0);
  await rig.wait(20);
  expect(rig.entries("silence")).toHaveLength(1);
  rig.restart();
  await rig.wait(90);
  expect(rig.entries("silence")).toHaveLength(1);
});

test("a source that sends its past is catching up: shown so, and no silence", async () => {
  const rig = rigOf();
  await idle(rig, 100, ["PR-02"], 7_200_000);
  expect(freshness(rig, "PR-02")?.state).toBe("catching-up");
  expect(freshness(rig, "PR-01")?.state).toBe("never");
  expect(rig.entries("silence")).toHaveLength(0);
});

test("a station is live, then silent after its intervals, and says which series is overdue the longest", async () => {
  const rig = rigOf();
  expect(freshness(rig)).toMatchObject({ state: "never", newestMs: null });
  await idle(rig, 3, ["PR-01", "PR-02"]);
  expect(freshness(rig)).toMatchObject({ state: "live", newestMs: startMs + 2_000, overdue: null });
  await idle(rig, 8, ["PR-02"]);
  expect(freshness(rig)).toMatchObject({ state: "silent", overdue: "PR-01/pressure" });
  expect(freshness(rig, "PR-02")).toMatchObject({ state: "live" });
});

test("an open run is told of, with its start", async () => {
  const rig = rigOf();
  const [first] = shotMessages({ press: "PR-01", place: 0, plateau: 0.9 });
  rig.commit(first!);
  await rig.wait(6);
  expect(freshness(rig)?.openSinceMs).toBe(startMs);
});

test("what is sent in runs only is missed in a run and not between runs", async () => {
  const rig = rigOf(siteOf(tableText));
  const event = (value: number): Sample => ({
    series: "CT-1/stage",
    tMs: rig.clock.nowMs(),
    value,
    quality: "good",
  });
  const shake = (): Sample => ({ ...event(0.97), series: "CT-1/vibration-z.rms" });
  rig.commit([event(1), shake()]);
  await rig.wait(1);
  rig.commit([event(0), shake()]);
  await rig.wait(200);
  expect(rig.entries("silence")).toHaveLength(0);
  expect(freshness(rig, "CT-1")?.state).toBe("live");
  rig.commit([event(1)]);
  await rig.wait(200);
  expect(rig.entries("silence").map(({ body }) => body.series)).toEqual([["CT-1/vibration-z"]]);
});

test("a source that sends the last minutes of its past is not silent, though its readings are minutes old", async () => {
  const rig = rigOf();
  await idle(rig, 120, ["PR-01", "PR-02"], 10 * 60_000);
  expect(rig.entries("silence")).toHaveLength(0);
});

test("a gateway that speaks in runs only is missed once it is quiet for longer than it ever is", async () => {
  const rig = rigOf(
    siteOf(tableText.replaceAll("GW-CT", "GW-PR").replace(/topic: "[^"]*"/, (topic) => `${topic}, quietAtMost: 2 min`)),
  );
  const flask = (value: number): Sample => ({
    series: "CT-1/stage",
    tMs: rig.clock.nowMs(),
    value,
    quality: "good",
  });
  rig.commit([flask(1), { ...flask(0.97), series: "CT-1/vibration-z.rms" }]);
  await rig.wait(1);
  rig.commit([flask(0)]);
  const goneMs = rig.clock.nowMs();
  await rig.wait(118);
  expect(rig.entries("silence")).toHaveLength(0);
  expect(freshness(rig, "CT-1")?.state).toBe("live");
  await rig.wait(10);
  expect(rig.entries("silence").map(({ body }) => body)).toEqual([
    expect.objectContaining({ wholeSource: true, source: "GW-PR", sinceMs: goneMs }),
  ]);
  expect(freshness(rig, "CT-1")).toMatchObject({ state: "silent", overdue: null });
});

/** What these presses sent once a second between two times, as one message each. */
const sent = (press: string, fromMs: number, toMs: number): Sample[] =>
  Array.from({ length: (toMs - fromMs) / 1_000 }, (_, second): Sample => {
    return { series: `${press}/pressure`, tMs: fromMs + second * 1_000, value: 0.05, quality: "good" };
  });

test("while we stand still nobody falls silent, in whichever order what was sent meanwhile is read", async () => {
  const rig = rigOf();
  await idle(rig, 10, ["PR-01", "PR-02"]);
  const stillMs = rig.clock.nowMs();
  rig.clock.advance(120_000);
  rig.tick();
  // Each press has a connection of its own, and one may be read to its end before the other.
  rig.commit(sent("PR-02", stillMs, rig.clock.nowMs()));
  await rig.wait(1);
  rig.commit(sent("PR-01", stillMs, rig.clock.nowMs() - 1_000));
  await idle(rig, 10, ["PR-01", "PR-02"]);
  expect(rig.entries("silence")).toHaveLength(0);
});

test("standing still right after the start, before a source has spoken, makes it no silent one", async () => {
  const rig = rigOf();
  await idle(rig, 10, ["PR-01", "PR-02"]);
  rig.restart();
  await rig.wait(1);
  rig.clock.advance(120_000);
  await rig.wait(50);
  expect(rig.entries("silence")).toHaveLength(0);
  await rig.wait(20);
  expect(rig.entries("silence")).toHaveLength(1);
});

test("standing still again and again puts a silence off, and hides none", async () => {
  const rig = rigOf();
  await idle(rig, 10, ["PR-01", "PR-02"]);
  for (let times = 0; times < 7; times += 1) {
    rig.clock.advance(120_000);
    await rig.wait(9);
  }
  expect(rig.entries("silence")).toHaveLength(0);
  await rig.wait(9);
  expect(rig.entries("silence").map(({ body }) => body.wholeSource)).toEqual([true]);
});

test("a source that pauses while it sends the last minutes of its past is missed after a minute, and not before", async () => {
  const rig = rigOf();
  await idle(rig, 10, ["PR-01", "PR-02"], 10 * 60_000);
  await rig.wait(58);
  expect(rig.entries("silence")).toHaveLength(0);
  await rig.wait(5);
  expect(rig.entries("silence").map(({ body }) => body.wholeSource)).toEqual([true]);
});
