import { calendarOf } from "../calendar.ts";
import type { FaultPlan } from "../faults.ts";
import { mouldedAt } from "../launch.ts";
import { preExpanderOf } from "../lineage.ts";
import { autoregressive } from "../ornstein-uhlenbeck.ts";
import { ambientPressureHpa, earliestRun, type Part, type PlantKey, partsOf, presses } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import { type Schedule, startOf } from "../schedule.ts";
import { saturationCel } from "../steam-table.ts";
import { between, pluggedHidesMismatch, pluggedLine, slowThermocouple } from "./instrument-effects.ts";
import { type Off, told } from "./measuring.ts";
import type { BeadOfShot, Prepuff } from "./prepuff.ts";
import type { Services } from "./services.ts";
import { burnerSaw } from "./steam-header.ts";
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
/** From the opening of the shot to the middle of its cooling. */
const coolAfterMs = 44_000;
/** How far the pump has come by the middle of the last five seconds of the vacuum step. */
const pulled = 1 - Math.exp(-15.5 / 2.5);
/** Slices of the two cavities differ by what their tools differ by, g. */
const cavityOffsets = [0.3, -0.3] as const;
const parts: ReadonlyMap<string, Part> = new Map([...partsOf(true), ...partsOf(false)].map((p) => [p.id, p]));

export interface PressRuns {
  readonly schedule: Schedule;
  shot(number: number): PressShot;
  features(number: number): Readonly<Record<string, TrueFeature>>;
}

function lastsOf(steps: readonly PressStep[]): number {
  return steps.reduce((sum, s) => sum + s.lastsMs, 0);
}

/** The shots of one press: set point wandering from shot to shot, header, valve. */
export function pressRuns(
  key: PlantKey,
  station: string,
  header: (tMs: number) => number,
  beads: Readonly<Record<"PX-1" | "PX-2", Prepuff>>,
  around: Pick<Services, "coolingWaterCel">,
  faults: FaultPlan,
): PressRuns {
  const place = presses.indexOf(station as (typeof presses)[number]);
  const schedule: Schedule = {
    station,
    seed: key.seed,
    calendar: calendarOf(key),
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
    const cold = coldPress(schedule, startOf(schedule, number));
    const plateau = 0.9 + wander(number) + 0.01 * random.normal() - droop - worn - coldBar * cold;
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
    const made = parts.get(mouldedAt(key, station, number)) as Part;
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
      lastsMs: lastsOf(steps),
      part,
      tool: `T-${part.slice(4)}`,
      bead,
      air: 0.05 * faults.size("air-in-steam", station, autoclaveMs) + coldAir * cold,
      sliceG: [slice(0), slice(1)],
      vacuumBar: -0.65 + 0.006 * own.normal() + 0.1 * faults.size("vacuum-pump-worn", station, autoclaveMs),
    };
  };

  const features = (number: number): Record<string, TrueFeature> => {
    const { steps, air, sliceG, vacuumBar } = shot(number);
    const autoclave = steps.find((s) => s.step === autoclaveStep) as PressStep;
    const startMs = startOf(schedule, number);
    const absolute = autoclave.toward + ambientPressureHpa / 1000;
    const steamed = steamOf(steps);
    const values = {
      "mold.plateau": autoclave.toward,
      "mold.rise": autoclave.tauSeconds * Math.log(9),
      "mold.t_above": timeAbove(autoclave),
      "mold.int": steamed.dose,
      "mold.cook": steamed.cookSeconds,
      "mold.vent": ventSeconds * Math.log(9),
      "mold.hdr_min": lowestHeader(startMs, startMs + lastsOf(steps)),
      "mold.dTsat": saturationCel(absolute * (1 - air)) - saturationCel(absolute),
      "mold.t_zero": 0,
      "mold.zero": 0,
      "mold.noise": pressureNoiseBar,
      "mold.cooling_water": around.coolingWaterCel(startMs + coolAfterMs),
      "mold.vacuum": vacuumBar * pulled,
      "mold.weight.1": sliceG[0],
      "mold.weight.2": sliceG[1],
    };
    return told(values, transmitterFaults(faults, station, startMs));
  };
  /** The burner's saw has its lowest points where it begins to fire. */
  const lowestHeader = (fromMs: number, toMs: number): number => {
    let lowest = Math.min(seenHeader(fromMs), seenHeader(toMs));
    for (let t = Math.ceil(fromMs / headerEveryMs) * headerEveryMs; t < toMs; t += headerEveryMs) {
      lowest = Math.min(lowest, seenHeader(t));
    }
    return lowest;
  };
  const seenHeader = (tMs: number): number => header(tMs) + burnerSaw(tMs).bar;
  return { schedule, shot, features };
}

/** The first shots after free days: condensate in a cold chamber, and air that the purge does not get out yet. */
const coldBar = 0.03;
const coldAir = 0.015;
const shotsToWarm = 2;

function coldPress({ calendar, periodMs }: Schedule, startMs: number): number {
  const free = calendar.free(startMs);
  return free === null
    ? 0
    : Math.exp(-(calendar.worked(startMs) - calendar.worked(free.toMs)) / (shotsToWarm * periodMs));
}

const headerEveryMs = 10_000;
const ventSeconds = 0.9;
/** What the transmitter's noise comes to about a line. */
const pressureNoiseBar = 0.006;

/** What a faulty pressure transmitter, impulse line or thermocouple makes of the features of a sound shot. */
function transmitterFaults(faults: FaultPlan, station: string, tMs: number): Off {
  const off: Record<string, number | null> = {};
  const drift = 0.02 * (faults.grown("zero-drift", station, tMs) / 7);
  if (drift !== 0) Object.assign(off, { "mold.zero": drift, "mold.plateau": drift });
  const plugged = faults.size("plugged-line", station, tMs);
  if (plugged > 0) for (const [feature, sizes] of Object.entries(pluggedLine)) off[feature] = between(sizes, plugged);
  const slow = faults.size("slow-thermocouple", station, tMs);
  if (slow > 0) for (const [feature, sizes] of Object.entries(slowThermocouple)) off[feature] = between(sizes, slow);
  if (plugged > pluggedHidesMismatch) off["mold.dTsat"] = null;
  if (faults.on("stuck-pressure", station, tMs) !== undefined) {
    for (const feature of ofPressure) off[feature] = null;
  }
  return off;
}

const ofPressure = [
  ...["mold.plateau", "mold.rise", "mold.t_above", "mold.int", "mold.cook", "mold.vent", "mold.zero", "mold.noise"],
  "mold.dTsat",
];

/** Time above 0.8 bar: the autoclave step less the climb to it, and the start of the vent. */
function timeAbove(autoclave: PressStep): number {
  const climb = autoclave.tauSeconds * Math.log((autoclave.toward - crossSteamBar) / (autoclave.toward - 0.8));
  const fall = ventSeconds * Math.log(autoclave.toward / 0.8);
  return autoclave.lastsMs / 1000 - climb + fall;
}

interface Steamed {
  /** Integral of what lies above 0.3 bar, bar.s. */
  readonly dose: number;
  /** Time above 0.25 bar. */
  readonly cookSeconds: number;
}

/** What the shot's steam comes to, step by step: the pressure goes from where it is towards each step's own. */
function steamOf(steps: readonly PressStep[]): Steamed {
  let bar = 0;
  let dose = 0;
  let cookSeconds = 0;
  for (const { step, lastsMs, toward, tauSeconds } of steps) {
    const seconds = lastsMs / 1000;
    const end = toward + (bar - toward) * Math.exp(-seconds / tauSeconds);
    if (step >= 3 && step <= 6) {
      dose += above(0.3, bar, toward, tauSeconds, seconds).area;
      cookSeconds += above(0.25, bar, toward, tauSeconds, seconds).seconds;
    }
    bar = end;
  }
  return { dose, cookSeconds };
}

/** How long and by how much a pressure on its way from `from` towards `toward` stands above a level. */
function above(
  level: number,
  from: number,
  toward: number,
  tau: number,
  seconds: number,
): { area: number; seconds: number } {
  const crossing = (from - toward) / (level - toward);
  const at = crossing > 1 ? Math.min(seconds, tau * Math.log(crossing)) : 0;
  const rises = toward > from;
  const [start, end] = rises
    ? [from >= level ? 0 : toward > level ? at : seconds, seconds]
    : [0, toward >= level ? seconds : from > level ? at : 0];
  if (end <= start) return { area: 0, seconds: 0 };
  const decayed = tau * (Math.exp(-start / tau) - Math.exp(-end / tau));
  return { area: (toward - level) * (end - start) + (from - toward) * decayed, seconds: end - start };
}
