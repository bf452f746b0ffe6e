import { afterEach, expect, test } from "vitest";
import { baselineProposal } from "../../../api/cli/baseline-proposal.ts";
import { characteristicsOf } from "../../../api/cli/characteristics-of.ts";
import type { Site } from "../../../collector/platform/settings/site.ts";
import { limitsEntry } from "../../../collector/store/entries.ts";
import { readFault } from "../../../simulator/fault-words.ts";
import { plant } from "../../../simulator/plant.ts";
import type { Source } from "../../../simulator/plant-layout.ts";
import { recordedRuns } from "../../../simulator/recorded-runs.ts";
import { type FlagState, noFlags } from "../../../spc/flags/flag.ts";
import { applyEntries } from "../../../spc/flags/fold.ts";
import type { RunRecord } from "../../../spc/model/journal-entry.ts";
import type { Sample } from "../../../spc/model/sample.ts";
import { decodeAll, demoSite } from "../simulator/extract-runs.ts";
import { collectorRig, type Rig } from "./collector-rig.ts";
import { startMs } from "./press-line.ts";

// The invented plant's readings through decoder, store, segmenters, features, charts, instrument checks and messages: one
// cause is one thing to look at, and a broken instrument is never taken for the process.

const presses = ["PR-01", "PR-02", "PR-03", "PR-04"];
const minuteMs = 60_000;
const baselineMs = 2 * 86_400_000;
const key = { seed: 3, firstMs: startMs };
const patient = 120_000;

const whole = demoSite();
const site: Site = { ...whole, stations: whole.stations.filter(({ id }) => presses.includes(id)) };

let rig: Rig;
afterEach(() => rig.close());

/** Limits as the demo's: from what the site wrote down of two days without a fault. */
function freeze(): void {
  const [fromMs, toMs] = [startMs - baselineMs, startMs];
  const past = new Map(presses.map((press) => [press, recordedRuns(key, press, fromMs, toMs).map(asRecord)]));
  for (const characteristic of characteristicsOf(site)) {
    const window = { fromMs, toMs, basis: "recommended" as const, excluded: {} };
    const proposal = baselineProposal((station) => past.get(station) ?? [], characteristic, window);
    if (!proposal.ok) throw new Error(`${characteristic.id}: ${proposal.refusal.detail}`);
    const { id, station } = characteristic;
    const signed = { proposedBy: "one", agreedBy: "another", reason: "no fault", frozenAtMs: startMs, engine: "test" };
    const set = { id: `${id}@1`, characteristic: id, revision: 1, effectiveFromMs: toMs, ...proposal.value, ...signed };
    rig.data().journal.append([limitsEntry(station, set)]);
  }
}

function asRecord({
  id,
  station,
  startMs: from,
  endMs,
  part,
  features,
}: ReturnType<typeof recordedRuns>[number]): RunRecord {
  const context = part === null ? {} : { part };
  const run = { id, station, startMs: from, endMs, closedBy: "imported" as const, segments: [], context };
  return { run, imported: true, features: features.map((one) => ({ ...one, version: 0 })) };
}

/** So many minutes of the plant's presses with that fault, from the first reading on. */
async function live(words: string, minutes: number): Promise<readonly FlagState[]> {
  const read = readFault(words, startMs);
  if (!read.ok) throw new Error(read.mistake);
  rig = collectorRig(site, { told: true });
  freeze();
  const gateway: Source = "GW-PR";
  const series = decodeAll(whole, plant(key, [read.fault]), gateway, startMs, startMs + minutes * minuteMs);
  const samples = [...series.values()].flat().sort((a, b) => a.tMs - b.tMs);
  for (let from = 0; from < minutes; from += 2) await send(samples, startMs + from * minuteMs, 2 * minuteMs);
  await rig.wait(10);
  return [...applyEntries(noFlags, rig.data().journal.read({})).values()];
}

async function send(samples: readonly Sample[], fromMs: number, lastsMs: number): Promise<void> {
  rig.commit(samples.filter(({ tMs }) => fromMs <= tMs && tMs < fromMs + lastsMs));
  rig.clock.advance(fromMs + lastsMs - rig.clock.nowMs());
  await rig.cut();
  // Messages of several stations wait for what they have in common.
  await rig.wait(0);
  rig.tick();
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
