import { afterEach, expect, test } from "vitest";
import type { Sample } from "../../../spc/model/sample.ts";
import { uniform } from "../../bench/plant-series.ts";
import { decode, oneReading, readingsOf } from "../../unit/decode/decoding.ts";
import { collectorRig, found, type Rig } from "./collector-rig.ts";
import { cycleMs, shotMessages } from "./press-line.ts";

const hourMs = 3_600_000;
const rigs: Rig[] = [];
afterEach(() => {
  for (const rig of rigs.splice(0)) rig.close();
});

function rigWithLimits(): Rig {
  const rig = collectorRig();
  rigs.push(rig);
  rig.limits("PR-01:mold.plateau", 0.91, 1);
  return rig;
}

/** Shots of both presses with something to signal in them, in the order of their times, a message for every two seconds. */
const messages: readonly (readonly Sample[])[] = (() => {
  const shots = Array.from({ length: 14 }, (_, place) =>
    (["PR-01", "PR-02"] as const).flatMap((press) =>
      shotMessages({ press, place, plateau: place === 4 || place > 9 ? 0.99 : 0.9 + 0.002 * (place % 5) }),
    ),
  );
  const byTime = new Map<number, Sample[]>();
  for (const sample of shots.flat(2).sort((a, b) => a.tMs - b.tMs)) {
    const time = Math.floor(sample.tMs / 2_000);
    byTime.set(time, [...(byTime.get(time) ?? []), sample]);
  }
  return [...byTime.values()];
})();

const last = messages.at(-1)!.at(-1)!.tMs;
const closing: Sample = { series: "PR-01/pressure", tMs: last + cycleMs, value: 0.05, quality: "good" };

const everything = (rig: Rig) => found(rig.data().journal.read({ kinds: ["run", "point", "signal"] }));

/** Sends the messages as they happen, the clock going along, and steps the clock where asked. */
async function asItHappens(rig: Rig, step: (place: number) => number): Promise<void> {
  let before = messages[0]!.at(-1)!.tMs;
  for (const [place, samples] of messages.entries()) {
    const now = samples.at(-1)!.tMs;
    rig.clock.advance(now - before + step(place));
    before = now;
    rig.commit(samples);
    await rig.cut();
    rig.tick();
  }
  rig.commit([closing]);
  await rig.cut();
  rig.tick();
}

let before: ReturnType<typeof everything> | undefined;

async function calm(): Promise<ReturnType<typeof everything>> {
  if (before !== undefined) return before;
  const rig = rigWithLimits();
  await asItHappens(rig, () => 0);
  const all = everything(rig);
  expect(all["runs"]).toHaveLength(28);
  expect(all["signals"]!.length).toBeGreaterThan(1);
  before = all;
  return all;
}

test.each([
  ["ahead", (place: number) => (place === 60 ? hourMs : 0)],
  ["back", (place: number) => (place === 60 ? -hourMs : 0)],
  ["ahead and back again", (place: number) => (place === 60 ? hourMs : place === 150 ? -hourMs : 0)],
])(
  "a clock of ours that leaps an hour %s changes no finding, marks nothing late and calls nobody silent",
  async (_, step) => {
    const rig = rigWithLimits();
    await asItHappens(rig, step);
    expect(everything(rig)).toEqual(await calm());
    expect(rig.entries("silence")).toEqual([]);
    const range = { series: "PR-01/pressure", fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };
    const samples = rig.data().samples.read(range, { includeLate: true });
    expect(samples.filter(({ late }) => late)).toEqual([]);
    expect(rig.data().samples.counts().stored).toBe(messages.flat().length + 1);
  },
);

test("a restart while the clock is an hour wrong finds the same", async () => {
  const rig = rigWithLimits();
  await asItHappens(rig, (place) => {
    if (place !== 75) return place === 110 ? hourMs : 0;
    rig.clock.advance(-hourMs);
    rig.restart();
    return 0;
  });
  expect(everything(rig)).toEqual(await calm());
});

test("a storm of messages, each up to four times and out of order within the lateness, changes no finding and keeps each once", async () => {
  const rig = rigWithLimits();
  const chance = uniform(11);
  const stormy = messages
    .flatMap((samples) =>
      Array.from({ length: 1 + Math.floor(4 * chance()) }, () => ({ samples, at: samples[0]!.tMs + 2_900 * chance() })),
    )
    .sort((a, b) => a.at - b.at);
  for (const [place, { samples }] of stormy.entries()) {
    rig.commit(samples);
    if (place % 40 === 0) await rig.cut();
  }
  rig.commit([closing]);
  await rig.cut();
  expect(everything(rig)).toEqual(await calm());
  const { stored, duplicate, received } = rig.data().samples.counts();
  const sent = stormy.flatMap(({ samples }) => samples).length + 1;
  expect({ stored, duplicate, received }).toEqual({
    stored: messages.flat().length + 1,
    duplicate: sent - messages.flat().length - 1,
    received: sent,
  });
});

test("a storm that comes a quarter of an hour late is kept, marked and enters no run, with or without a restart", async () => {
  const ofPress = (press: string) =>
    messages
      .map((samples) => samples.filter(({ series }) => series.startsWith(press)))
      .filter((samples) => samples.length > 0);
  const [punctual, held] = [ofPress("PR-01"), ofPress("PR-02")];
  const without = rigWithLimits();
  for (const samples of [...punctual, [closing]]) without.commit(samples);
  await without.cut();

  const rig = rigWithLimits();
  for (const samples of [...punctual, [closing]]) rig.commit(samples);
  await rig.cut();
  for (const [place, samples] of [...held, ...held].entries()) {
    rig.commit(samples);
    if (place % 7 === 0) await rig.cut();
    if (place === 30) rig.restart();
  }
  await rig.cut();
  expect(everything(rig)).toEqual(everything(without));
  const range = { series: "PR-02/pressure", fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };
  const late = rig.data().samples.read(range, { includeLate: true });
  expect(late.length).toBe(held.flat().filter(({ series }) => series === range.series).length);
  // But those at the end, which were no older than the lateness when they came.
  expect(late.filter((one) => !one.late).every(({ tMs }) => tMs >= closing.tMs - 5_000)).toBe(true);
});

test("the hour that summer time repeats stays two hours, and the one it leaves out is none", () => {
  const at = (t: string) =>
    decode(readingsOf(oneReading({ t })), { receivedMs: Date.UTC(2026, 10, 25) }).samples[0]!.tMs;
  expect(at("2026-10-25T02:30:00+01:00") - at("2026-10-25T02:30:00+02:00")).toBe(hourMs);
  expect(at("2026-03-29T03:00:00+02:00") - at("2026-03-29T01:59:59+01:00")).toBe(1_000);
});

test("runs through the night of the change are as on any other night, and a trend counts each hour of it once", async () => {
  // From 00:40 UTC on the 25th of October 2026, when clocks in the middle of Europe went from 03:00 back to 02:00 at 01:00.
  const shift = Date.UTC(2026, 9, 25, 0, 55) - messages[0]![0]!.tMs;
  const rig = rigWithLimits();
  for (const samples of [...messages, [closing]]) rig.commit(samples.map((one) => ({ ...one, tMs: one.tMs + shift })));
  await rig.cut();
  const values = (all: ReturnType<typeof everything>) =>
    all["runs"]!.map((run) =>
      (run as { body: { features: readonly { value: number | null }[] } }).body.features.map(({ value }) => value),
    );
  expect(values(everything(rig))).toEqual(values(await calm()));
  const day = { series: "PR-01/pressure", fromMs: Date.UTC(2026, 9, 24, 22), toMs: Date.UTC(2026, 9, 25, 23) };
  const columns = rig.data().samples.trend(day, 25);
  expect(columns.every(({ fromMs, toMs }) => toMs - fromMs === hourMs)).toBe(true);
  const sent = [...messages.flat(), closing].filter(({ series }) => series === day.series).length;
  expect(columns.reduce((sum, { n }) => sum + n, 0)).toBe(sent);
});
