import type { FaultPlan } from "../faults.ts";
import { autoregressive } from "../ornstein-uhlenbeck.ts";
import { aluminiumParts, earliestRun, ironParts, type PlantKey, presses } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import { type RecordedRun, recordedRun } from "../recorded-run.ts";
import { type Schedule, startOf } from "../schedule.ts";

/** A step of the press cycle: its number, how long, toward which pressure (bar gauge) and how fast. */
export interface PressStep {
  readonly step: number;
  readonly lastsMs: number;
  readonly toward: number;
  readonly tauSeconds: number;
}

/** What is particular about one shot. */
export interface PressShot {
  readonly steps: readonly PressStep[];
  readonly lastsMs: number;
  readonly part: string;
  readonly tool: string;
}

const autoclaveStep = 5;
const crossSteamBar = 0.45;
const healthyTauSeconds = 0.7;
const slowTauSeconds = 1.8;

const cycle: readonly PressStep[] = [
  { step: 1, lastsMs: 12_000, toward: 0, tauSeconds: 0.5 },
  { step: 2, lastsMs: 2_000, toward: 0.12, tauSeconds: 0.5 },
  { step: 3, lastsMs: 4_000, toward: 0.35, tauSeconds: 0.6 },
  { step: 4, lastsMs: 4_000, toward: crossSteamBar, tauSeconds: 0.6 },
  { step: autoclaveStep, lastsMs: 7_000, toward: 0.9, tauSeconds: healthyTauSeconds },
  { step: 6, lastsMs: 4_000, toward: 0, tauSeconds: 0.9 },
  { step: 7, lastsMs: 22_000, toward: 0, tauSeconds: 0.9 },
  { step: 8, lastsMs: 18_000, toward: -0.65, tauSeconds: 2.5 },
  { step: 9, lastsMs: 6_000, toward: 0, tauSeconds: 0.6 },
];
/** From the opening of the shot to the autoclave: the header is read there. */
const autoclaveAfterMs = 22_000;

export interface PressRuns {
  readonly schedule: Schedule;
  shot(number: number): PressShot;
  recorded(number: number): RecordedRun;
}

/** The shots of one press: set point wandering from shot to shot, header, valve. */
export function pressRuns(
  key: PlantKey,
  station: string,
  header: (tMs: number) => number,
  faults: FaultPlan,
): PressRuns {
  const place = presses.indexOf(station as (typeof presses)[number]);
  const schedule: Schedule = {
    station,
    seed: key.seed,
    originMs: key.firstMs + 40_000 + place * 86_000,
    periodMs: 345_000,
    jitterMs: 20_000,
  };
  const wander = autoregressive(
    randomAt(key.seed, station, 0, "set-point"),
    0.45,
    0.01,
    earliestRun(schedule.periodMs),
  );
  const part = [...aluminiumParts.map((p) => p.id), ...ironParts][place] as string;

  const shot = (number: number): PressShot => {
    const random = randomAt(key.seed, station, number, "shot");
    const autoclaveMs = startOf(schedule, number) + autoclaveAfterMs;
    const droop = 0.035 * Math.max(0, 4.5 - header(autoclaveMs));
    const plateau = 0.9 + wander(number) + 0.01 * random.normal() - droop;
    const slow = faults.on("slow-valve", station, autoclaveMs) !== undefined;
    const steps = cycle.map((s) =>
      s.step === autoclaveStep
        ? {
            ...s,
            toward: plateau,
            tauSeconds: slow ? slowTauSeconds : healthyTauSeconds,
            lastsMs: s.lastsMs + Math.round(50 * random.normal()),
          }
        : s,
    );
    return { steps, lastsMs: steps.reduce((sum, s) => sum + s.lastsMs, 0), part, tool: `T-${part.slice(4)}` };
  };

  const recorded = (number: number): RecordedRun => {
    const { steps, lastsMs } = shot(number);
    const startMs = startOf(schedule, number);
    const autoclave = steps.find((s) => s.step === autoclaveStep) as PressStep;
    const random = randomAt(key.seed, station, number, "recorded");
    return recordedRun(station, startMs, lastsMs, part, [
      { feature: "mold.plateau", unit: "bar", value: plateauOf(autoclave, random.normal()) },
      { feature: "mold.rise", unit: "s", value: riseOf(autoclave, random.normal()) },
      { feature: "mold.t_above", unit: "s", value: timeAbove(autoclave, random.normal()) },
    ]);
  };
  return { schedule, shot, recorded };
}

// Offsets and spreads: our own simulation, the difference between what the extractors of the product make of traces of
// healthy shots and the exact first-order answer; history-agrees.test.ts holds them to that.
const plateauOffset = -0.0045;
const plateauSd = 0.0035;
const riseOffset = -0.06;
const riseSd = 0.09;
const aboveOffset = 0.023;
const aboveSd = 0.054;

function plateauOf(autoclave: PressStep, noise: number): number {
  return autoclave.toward + plateauOffset + plateauSd * noise;
}

/** A first-order step takes tau ln 9 from 10 to 90 %. */
function riseOf(autoclave: PressStep, noise: number): number {
  return autoclave.tauSeconds * Math.log(9) + riseOffset + riseSd * noise;
}

/** Time above 0.8 bar: the autoclave step less the climb to it, and the start of the vent. */
function timeAbove(autoclave: PressStep, noise: number): number {
  const climb = autoclave.tauSeconds * Math.log((autoclave.toward - crossSteamBar) / (autoclave.toward - 0.8));
  const fall = 0.9 * Math.log(autoclave.toward / 0.8);
  return autoclave.lastsMs / 1000 - climb + fall + aboveOffset + aboveSd * noise;
}
