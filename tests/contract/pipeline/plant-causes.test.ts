import { afterEach, expect, test } from "vitest";
import type { FlagState } from "../../../spc/flags/flag.ts";
import type { Rig } from "./collector-rig.ts";
import { live as liveIn } from "./live-plant.ts";
import { startMs } from "./press-line.ts";

// The invented plant's readings through decoder, store, segmenters, features, charts, instrument checks and messages: one
// cause is one thing to look at, and a broken instrument is never taken for the process.

const presses = ["PR-01", "PR-02", "PR-03", "PR-04"];
const minuteMs = 60_000;
const patient = 120_000;

let rig: Rig;
afterEach(() => rig.close());

async function live(words: string, minutes: number): Promise<readonly FlagState[]> {
  const part = { gateway: "GW-PR", stations: presses, pastDays: 2, everyMinutes: 2 } as const;
  const lived = await liveIn(part, words, minutes);
  rig = lived.rig;
  return lived.flags;
}

const named = (flags: readonly FlagState[]): readonly string[] => flags.map(({ id, says }) => `${id} ${says}`);

test(
  "the boiler sags: one flag for all presses, with the first up named, and one message",
  async () => {
    const flags = await live("boiler-sag@BO-1@20min+17min", 46);
    const parents = flags.filter(({ common }) => common !== undefined);
    expect(named(parents)).toHaveLength(1);
    const [parent] = parents as [FlagState];
    expect(parent.says).toBe("steam header BO-1: all 4 presses");
    expect(parent.evidence).toMatch(/PR-0\d first: what they share rather than one of them$/);
    const sagged = flags.filter(({ common, first }) => common === undefined && first.atMs > startMs + 20 * minuteMs);
    expect(new Set(sagged.map(({ station }) => station))).toEqual(new Set(presses));
    const steam = sagged.filter(({ characteristic }) => /plateau|hdr_min/.test(characteristic ?? ""));
    expect(steam.filter(({ parent: under }) => under !== parent.id).map(({ id }) => id)).toEqual([]);
    const told = rig.entries("message").map(({ body }) => `${body.person} ${body.flag}`);
    expect(told.filter((one) => one.startsWith("early-lead"))).toEqual([`early-lead ${parent.id}`]);
  },
  patient,
);

test(
  "one press with a slow valve is one press: no flag says what all share, and none of another press is of steam",
  async () => {
    const flags = await live("slow-valve@PR-03@8min", 30);
    expect(flags.filter(({ common }) => common !== undefined)).toEqual([]);
    const after = flags.filter(({ first }) => first.atMs > startMs + 8 * minuteMs);
    expect(after.map(({ station, characteristic }) => station === "PR-03" && characteristic)).toContain(
      "PR-03:mold.rise",
    );
    expect(
      after.filter(({ characteristic }) => /rise|plateau/.test(characteristic ?? "")).map(({ station }) => station),
    ).toEqual(expect.not.arrayContaining(["PR-01", "PR-02", "PR-04"]));
    expect(after.map(({ label }) => label)).not.toContain("instrument-fault");
  },
  patient,
);

test(
  "a stuck transmitter is an instrument's fault from its first whole shot on, and never the process",
  async () => {
    const flags = await live("stuck-pressure@PR-01@8min", 30);
    const stuck = flags.filter(({ station, first }) => station === "PR-01" && first.atMs > startMs + 7 * minuteMs);
    expect(stuck.map(({ label }) => label)).toContain("instrument-fault");
    const process = stuck.filter(({ characteristic }) => characteristic !== null);
    expect(named(process)).toEqual([]);
    const points = rig
      .entries("point")
      .filter(({ subject, atMs }) => subject === "PR-01:mold.plateau" && atMs > startMs + 15 * minuteMs);
    expect(points.length).toBeGreaterThan(1);
    for (const { body } of points) expect(body.refusal?.code).toMatch(/instrument-fault|signal-stuck/);
  },
  patient,
);

test(
  "a slow thermocouple is an instrument's fault from its first whole shot on, and no steam cooler than its pressure",
  async () => {
    const flags = await live("slow-thermocouple@PR-02@8min", 24);
    const since = flags.filter(({ station, first }) => station === "PR-02" && first.atMs > startMs + 7 * minuteMs);
    expect(since.map(({ label, series }) => `${label} ${series}`)).toContain("instrument-fault PR-02/chamber-t");
    expect(since.map(({ evidence }) => evidence).join()).toMatch(/the witness took .* so the step itself was quick/);
    expect(named(since.filter(({ characteristic }) => characteristic === "PR-02:mold.dTsat"))).toEqual([]);
  },
  patient,
);

test(
  "a plugged impulse line is an instrument's fault from its first whole shot on: the chamber cooled in time",
  async () => {
    const part = { gateway: "GW-PR", stations: ["PR-04"], pastDays: 2, everyMinutes: 2 } as const;
    const lived = await liveIn(part, "plugged-line@PR-04@8min*0.1875", 24);
    rig = lived.rig;
    const since = lived.flags.filter(({ first }) => first.atMs > startMs + 7 * minuteMs);
    expect(since.map(({ label, series }) => `${label} ${series}`)).toContain("instrument-fault PR-04/pressure");
    expect(since.map(({ evidence }) => evidence).join()).toMatch(
      /pressure answers a step .* so the step itself was quick/,
    );
    expect(named(since.filter(({ characteristic }) => /mold\.(rise|vent|plateau)/.test(characteristic ?? "")))).toEqual(
      [],
    );
  },
  patient,
);
