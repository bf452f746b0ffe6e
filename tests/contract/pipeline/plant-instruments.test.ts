import { afterEach, expect, test } from "vitest";
import type { FlagState } from "../../../spc/flags/flag.ts";
import type { Rig } from "./collector-rig.ts";
import { type LivePart, live } from "./live-plant.ts";
import { startMs } from "./press-line.ts";

// Faults of instruments that look like faults of the process, from the invented plant's payloads to flags.

const minuteMs = 60_000;
const patient = 120_000;
const table: LivePart = { gateway: "GW-CT", stations: ["CT-A1"], pastDays: 6, everyMinutes: 2 };
const dryer: LivePart = { gateway: "GW-DR", stations: ["DR-2"], pastDays: 60, everyMinutes: 30 };

let rig: Rig | undefined;
afterEach(() => rig?.close());

async function since(part: LivePart, words: string, minutes: number): Promise<readonly FlagState[]> {
  const lived = await live(part, words, minutes);
  rig = lived.rig;
  return lived.flags;
}

const labels = (flags: readonly FlagState[]): readonly string[] => flags.map(({ label, says }) => `${label}: ${says}`);

test(
  "a cable that loses contact is an instrument's fault, and no table that shakes too little or knocks",
  async () => {
    const flags = await since(table, "cable-intermittent@CT-A1@4min", 45);
    expect(flags.map(({ label, series }) => `${label} ${series}`)).toContain("instrument-fault CT-A1/vibration-z");
    expect(flags.map(({ evidence }) => evidence).join()).toMatch(
      /vibration-z read 0\.6\d* g on average while it shook .* where it must read 1 g/,
    );
    expect(labels(flags.filter(({ characteristic }) => /vib\.(rms|crest|hf|f1)/.test(characteristic ?? "")))).toEqual(
      [],
    );
  },
  patient,
);

test(
  "a loose clamp shakes more than its sensor tells of: the process, and no instrument",
  async () => {
    const flags = await since(table, "loose-clamp@CT-A1@4min", 45);
    expect(flags.map(({ characteristic }) => characteristic)).toContain("CT-A1:vib.crest");
    expect(flags.map(({ label }) => label)).not.toContain("instrument-fault");
  },
  patient,
);

test(
  "a splashed humidity probe is an instrument's fault by what the witness lost, in its first whole load",
  async () => {
    const flags = await since(dryer, "probe-splash@DR-2@30min*0.5", 9 * 60);
    const probe = flags.filter(({ characteristic }) => characteristic === "DR-2:dry.unweighed");
    expect(labels(probe)).toEqual(["instrument-fault: humidity probes off"]);
  },
  patient,
);

test(
  "weak air is the process: what the air gains, the witness loses",
  async () => {
    const flags = await since(dryer, "weak-air@DR-2@30min", 9 * 60);
    const begun = flags.filter(({ first }) => first.atMs > startMs + 30 * minuteMs);
    expect(begun.map(({ characteristic }) => characteristic)).toContain("DR-2:dry.dw_end");
    expect(labels(begun.filter(({ label }) => label === "instrument-fault"))).toEqual([]);
  },
  patient,
);

test(
  "a table's sensor that is a little loose is told from a clamp by the wall, which has nothing of it",
  async () => {
    const flags = await since(table, "loose-sensor@CT-A1@4min*0.05", 45);
    expect(labels(flags.filter(({ characteristic }) => characteristic === "CT-A1:vib.alone"))).toEqual([
      "instrument-fault: table sensor rattles alone",
    ]);
  },
  patient,
);

test(
  "a witness that touches is an instrument's fault in its first load, and its load is not called dry",
  async () => {
    const flags = await since(dryer, "witness-touches@DR-2@0min", 9 * 60);
    expect(flags.map(({ label, series }) => `${label} ${series}`)).toContain("instrument-fault DR-2/witness");
    expect(flags.map(({ says }) => says)).toContain("witness reads less than it can");
    expect(flags.map(({ characteristic }) => characteristic)).not.toContain("DR-2:dry.residual");
  },
  patient,
);
