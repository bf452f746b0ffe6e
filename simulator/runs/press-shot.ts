import type { FaultPlan } from "../faults.ts";
import { partOfShot, preExpanderOf } from "../lineage.ts";
import { autoregressive } from "../ornstein-uhlenbeck.ts";
import { ambientPressureHpa, earliestRun, type Part, type PlantKey, partsOf, presses } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import { type Schedule, startOf } from "../schedule.ts";
import { saturationCel } from "../steam-table.ts";
import type { BeadOfShot, Prepuff } from "./prepuff.ts";
import type { TrueFeature } from "./true-run.ts";

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
  readonly bead: BeadOfShot;
  /** Mole fraction of air in the steam on the plateau. */
  readonly air: number;
  /** Of the slices of both cavities, g. */
  readonly sliceG: readonly [number, number];
  readonly vacuumBar: number;
}

const dayMs = 86_400_000;
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
/** Slices of the two cavities differ by what their tools differ by, g. */
const cavityOffsets = [0.3, -0.3] as const;
const parts: ReadonlyMap<string, Part> = new Map([...partsOf(true), ...partsOf(false)].map((p) => [p.id, p]));

export interface PressRuns {
  readonly schedule: Schedule;
  shot(number: number): PressShot;
  features(number: number): Readonly<Record<string, TrueFeature>>;
}

/** The shots of one press: set point wandering from shot to shot, header, valve. */
export function pressRuns(
  key: PlantKey,
  station: string,
  header: (tMs: number) => number,
  beads: Readonly<Record<"PX-1" | "PX-2", Prepuff>>,
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
  const shot = (number: number): PressShot => {
    const random = randomAt(key.seed, station, number, "shot");
    const autoclaveMs = startOf(schedule, number) + autoclaveAfterMs;
    const droop = 0.035 * Math.max(0, 4.5 - header(autoclaveMs));
    const worn = 0.0004 * faults.grown("valve-wear", station, autoclaveMs) * (dayMs / schedule.periodMs);
    const plateau = 0.9 + wander(number) + 0.01 * random.normal() - droop - worn;
    const slow = faults.size("slow-valve", station, autoclaveMs);
    const steps = cycle.map((s) =>
      s.step === autoclaveStep
        ? {
            ...s,
            toward: plateau,
            tauSeconds: healthyTauSeconds + slow * (slowTauSeconds - healthyTauSeconds),
            lastsMs: s.lastsMs + Math.round(50 * random.normal()),
          }
        : s,
    );
    const made = parts.get(partOfShot(station, number)) as Part;
    const part = made.id;
    const from = beads[preExpanderOf(part)];
    const bead = from.at(startOf(schedule, number));
    const own = randomAt(key.seed, station, number, "slices");
    const clog = 0.04 * faults.size("fill-gun-clogged", station, autoclaveMs);
    const slice = (cavity: 0 | 1): number =>
      made.sliceG * (1 + 0.7 * (bead.densityOff / from.targetGL) + 0.008 * own.normal() - (cavity === 1 ? clog : 0)) +
      (cavityOffsets[cavity] as number);
    return {
      steps,
      lastsMs: steps.reduce((sum, s) => sum + s.lastsMs, 0),
      part,
      tool: `T-${part.slice(4)}`,
      bead,
      air: 0.05 * faults.size("air-in-steam", station, autoclaveMs),
      sliceG: [slice(0), slice(1)],
      vacuumBar: -0.65 + 0.006 * own.normal() + 0.1 * faults.size("vacuum-pump-worn", station, autoclaveMs),
    };
  };

  const features = (number: number): Record<string, TrueFeature> => {
    const { steps, air, sliceG } = shot(number);
    const autoclave = steps.find((s) => s.step === autoclaveStep) as PressStep;
    const startMs = startOf(schedule, number);
    let lowest = Number.POSITIVE_INFINITY;
    for (let t = 0; t < 79_000; t += 15_000) lowest = Math.min(lowest, header(startMs + t));
    const absolute = autoclave.toward + ambientPressureHpa / 1000;
    return {
      "mold.plateau": { value: autoclave.toward, unit: "bar", bias: plateauOffset, sd: plateauSd },
      "mold.rise": { value: autoclave.tauSeconds * Math.log(9), unit: "s", bias: riseOffset, sd: riseSd },
      "mold.t_above": { value: timeAbove(autoclave), unit: "s", bias: aboveOffset, sd: aboveSd },
      "mold.hdr_min": { value: lowest, unit: "bar", bias: headerOffset, sd: headerSd },
      "mold.dTsat": { value: saturationCel(absolute * (1 - air)) - saturationCel(absolute), unit: "K", sd: 0.12 },
      "mold.zero": { value: 0, unit: "bar", sd: 0.005 },
      "mold.weight.1": { value: sliceG[0], unit: "g", sd: 0.05 },
      "mold.weight.2": { value: sliceG[1], unit: "g", sd: 0.05 },
    };
  };
  return { schedule, shot, features };
}

// Offsets and spreads: our own simulation, the difference between what the extractors of the product make of traces of
// healthy shots and the exact first-order answer; history-agrees.test.ts holds them to that.
const plateauOffset = -0.0045;
const plateauSd = 0.0035;
const riseOffset = -0.06;
const riseSd = 0.09;
const aboveOffset = 0.023;
const aboveSd = 0.054;
/** The header's saw takes the lowest second below the slow part of it. */
const headerOffset = -0.09;
const headerSd = 0.06;

/** Time above 0.8 bar: the autoclave step less the climb to it, and the start of the vent. */
function timeAbove(autoclave: PressStep): number {
  const climb = autoclave.tauSeconds * Math.log((autoclave.toward - crossSteamBar) / (autoclave.toward - 0.8));
  const fall = 0.9 * Math.log(autoclave.toward / 0.8);
  return autoclave.lastsMs / 1000 - climb + fall;
}
