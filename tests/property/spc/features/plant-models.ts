import type { FeatureValue } from "../../../../spc/model/journal-entry.ts";
import { type Run, type RunTrace, runId } from "../../../../spc/model/run.ts";
import type { Sample } from "../../../../spc/model/sample.ts";
import { normals, uniforms } from "../seeded.ts";

// Runs of each kind of station with their truth, made by formulas of their own: nothing here is shared with the features
// or with the plant that the demo runs. Set points, noise and time constants are invented; no source.

/** A run as its instruments tell it, and what each feature would be with perfect instruments. */
export interface ModelRun {
  readonly trace: RunTrace;
  /** NaN where no number would be right, so that the feature must be refused. */
  readonly truth: Readonly<Record<string, number>>;
  /** How far off a feature may be that states no error of its own. */
  readonly errors?: Readonly<Record<string, number>>;
}

export const modelStartMs: number = Date.UTC(2026, 10, 25, 8);
const ambientHpa = 976.3;

export class Chance {
  readonly normal: () => number;
  readonly uniform: () => number;
  constructor(seed: number) {
    this.normal = normals(seed * 2 + 1);
    this.uniform = uniforms(seed * 7 + 3);
  }
  between(low: number, high: number): number {
    return low + (high - low) * this.uniform();
  }
  /** Ornstein and Uhlenbeck about 0. */
  wander(sd: number, tauS: number, everyS: number): () => number {
    const keep = Math.exp(-everyS / tauS);
    let x = sd * this.normal();
    return () => {
      const now = x;
      x = keep * x + sd * Math.sqrt(1 - keep * keep) * this.normal();
      return now;
    };
  }
}

type Signal = readonly [everyMs: number, samples: readonly Sample[]];

export function signal(
  role: string,
  span: readonly [fromS: number, toS: number],
  everyMs: number,
  step: number,
  value: (tS: number) => number,
): Signal {
  const [fromS, toS] = span;
  const count = Math.ceil(((toS - fromS) * 1000) / everyMs - 1e-9);
  const samples = Array.from({ length: count }, (_, i): Sample => {
    const tMs = modelStartMs + Math.round(fromS * 1000 + i * everyMs);
    const raw = value(fromS + (i * everyMs) / 1000);
    return { series: `M-1/${role}`, tMs, value: Number((step * Math.round(raw / step)).toFixed(6)), quality: "good" };
  });
  return [everyMs, samples];
}

export function told(role: string, ...values: readonly (readonly [tS: number, value: number])[]): Signal {
  return [
    3_600_000,
    values.map(
      ([tS, value]): Sample => ({ series: `M-1/${role}`, tMs: modelStartMs + tS * 1000, value, quality: "good" }),
    ),
  ];
}

export function modelRun(
  lengthS: number,
  segments: readonly (readonly [string, number, number])[],
  context: Readonly<Record<string, string>> = {},
): Run {
  return {
    id: runId("M-1", modelStartMs),
    station: "M-1",
    startMs: modelStartMs,
    endMs: modelStartMs + Math.round(lengthS * 1000),
    closedBy: "end-condition",
    segments: segments.map(([name, fromS, toS]) => ({
      name,
      fromMs: modelStartMs + Math.round(fromS * 1000),
      toMs: modelStartMs + Math.round(toS * 1000),
    })),
    context,
  };
}

export function traceOf(run: Run, signals: Readonly<Record<string, Signal>>, more: Partial<RunTrace> = {}): RunTrace {
  const entries = Object.entries(signals);
  return {
    run,
    samples: Object.fromEntries(entries.map(([role, [, samples]]) => [role, samples])),
    everyMs: Object.fromEntries(entries.map(([role, [everyMs]]) => [role, everyMs])),
    ambientPressureHpa: ambientHpa,
    ...more,
  };
}

const sorted = (values: readonly number[]): number[] => [...values].sort((a, b) => a - b);
const at = (values: readonly number[], share: number): number =>
  sorted(values)[Math.min(values.length - 1, Math.floor(share * values.length))]!;
const middle = (values: readonly number[]): number => at(values, 0.5);
const average = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

/** Saturated steam near the pressures of a press, in Cel of bar absolute: a fit of the steam table, good to 0.1 K. */
function saturationCel(bar: number): number {
  // Clausius and Clapeyron through 99.61 Cel at 1 bar and 120.21 Cel at 2 bar, as steam tables print them.
  const [t1, t2] = [372.76, 393.36];
  return 1 / (1 / t1 - (Math.log(bar) * (1 / t1 - 1 / t2)) / Math.log(2)) - 273.15;
}

export interface Shot {
  readonly tau?: number;
  readonly airPercent?: number;
  readonly headerBar?: number;
  readonly thermometerOffset?: number;
}

/** A shot of 79 s at 20 Hz. */
export function shotRun(seed: number, shot: Shot = {}): ModelRun {
  const chance = new Chance(seed);
  const header = shot.headerBar ?? 4.5 + 0.12 * chance.normal();
  const set = 0.9 + 0.014 * chance.normal() - 0.035 * Math.max(0, 4.5 - header);
  const tau = shot.tau ?? 0.7;
  const steps: readonly (readonly [string, number, number, number])[] = [
    ["fill", 12, 0, 1],
    ["preheat", 2, 0.12, 0.5],
    ["cross-steam-a", 4, 0.35, 0.6],
    ["cross-steam-b", 4, 0.45, 0.6],
    ["autoclave", 7, set, tau],
    ["vent", 4, 0, 0.9],
    ["cool", 22, 0, 0.9],
    ["vacuum", 18, -0.65, 2.5],
    ["eject", 6, 0, 0.6],
  ];
  const segments: [string, number, number][] = [];
  const pieces: ((tS: number) => number)[] = [];
  let [clock, level] = [0, 0];
  for (const [name, lengthS, to, tauS] of steps) {
    const [from, began] = [clock, level];
    segments.push([name, from, from + lengthS]);
    pieces.push((tS) => to + (began - to) * Math.exp(-(tS - from) / tauS));
    clock += lengthS;
    level = pieces.at(-1)!(clock);
  }
  const pressure = (tS: number): number =>
    pieces[
      Math.max(
        0,
        segments.findIndex(([, from, to]) => tS >= from && tS < to),
      )
    ]!(tS);
  const air = 1 - (shot.airPercent ?? 0) / 100;
  const chamber = (tS: number): number =>
    tS < 12 ? 40 : tS < 33 ? saturationCel((pressure(tS) + ambientHpa / 1000) * air) : tS < 55 ? 24 : 40;
  const white = chance.wander(0.005, 1.5, 0.05);
  let probe = 40;
  const chamberT = signal("chamber-t", [0, 79], 200, 0.1, (tS) => {
    for (let s = 0; s < 10; s += 1) probe += (chamber(tS - 0.2 + s * 0.02) - probe) * (1 - Math.exp(-0.02 / 1.5));
    return probe + (shot.thermometerOffset ?? 0) + 0.25 * chance.normal();
  });
  const headerAt = (tS: number): number => header + 0.05 * Math.sin(tS / 20);
  const trace = traceOf(modelRun(79, segments), {
    pressure: signal("pressure", [0, 79], 50, 0.001, (tS) => pressure(tS) + 0.006 * chance.normal() + white()),
    "chamber-t": chamberT,
    header: signal("header", [0, 79], 1000, 0.01, (tS) => headerAt(tS) + 0.02 * chance.normal()),
    "tool-t": signal("tool-t", [0, 79], 1000, 0.1, (tS) => 60 + 10 * Math.sin(tS / 12) + 0.1 * chance.normal()),
    "cooling-water-t": signal("cooling-water-t", [0, 79], 1000, 0.1, () => 24 + 0.1 * chance.normal()),
    vacuum: signal("vacuum", [0, 79], 200, 0.001, (tS) => (tS >= 55 && tS < 73 ? -0.65 : 0) + 0.004 * chance.normal()),
  });

  const grid = Array.from({ length: 7900 }, (_, i) => i * 0.01);
  const inside = (from: number, to: number): number[] => grid.filter((tS) => tS >= from && tS < to);
  const autoclave = inside(22, 29).map(pressure);
  const high = at(autoclave, 0.98);
  const plateau = middle(autoclave.filter((p) => p > 0.9 * high));
  const low = pressure(21.5);
  const first = (from: number, test: (p: number) => boolean): number =>
    inside(from, 55).find((tS) => test(pressure(tS)))!;
  const steam = inside(14, 33).map(pressure);
  return {
    trace,
    truth: {
      "mold.plateau": plateau,
      "mold.rise":
        first(22, (p) => p >= low + 0.9 * (plateau - low)) - first(22, (p) => p >= low + 0.1 * (plateau - low)),
      "mold.t_above": inside(22, 33).filter((tS) => pressure(tS) > 0.8).length * 0.01,
      "mold.int": steam.reduce((sum, p) => sum + Math.max(0, p - 0.3) * 0.01, 0),
      "mold.cook": steam.filter((p) => p > 0.25).length * 0.01,
      "mold.vent": first(29, (p) => p <= 0.1 * plateau) - first(29, (p) => p <= 0.9 * plateau),
      "mold.dTsat":
        saturationCel((plateau + ambientHpa / 1000) * air) -
        saturationCel(plateau + ambientHpa / 1000) +
        (shot.thermometerOffset ?? 0),
      "mold.t_zero": shot.thermometerOffset ?? 0,
      "mold.hdr_min": Math.min(...inside(0, 79).map(headerAt)),
      "mold.zero": 0,
      "mold.noise": Math.hypot(0.006, 0.004),
      "mold.spread": at(grid.map(pressure), 0.98) - at(grid.map(pressure), 0.02),
    },
  };
}

/** A load of the ageing oven, two hours at one reading in ten seconds. */
export function ovenRun(seed: number, drift: readonly [number, number, number] = [0, 0, 0]): ModelRun {
  const chance = new Chance(seed);
  const load = 0.6 * chance.normal();
  const offsets = [0, 1, 2].map((i) => Math.max(-1.2, Math.min(1.2, 0.6 * chance.normal())) + load + drift[i]!);
  const lengthS = 7200;
  const level = (tS: number, i: number): number =>
    Math.min(25 + tS / 30, 55 + offsets[i]!) + (tS > 1100 ? 0.5 * Math.sin((2 * Math.PI * tS) / 260) : 0);
  // What the air does beside the controller's swing is the oven's own, and part of the truth.
  const wandering = [0, 1, 2].map(() => {
    const wander = chance.wander(0.25, 180, 10);
    return Array.from({ length: lengthS / 10 }, wander);
  });
  const air = (tS: number, i: number): number => level(tS, i) + wandering[i]![Math.floor(tS / 10)]!;
  const signals = [0, 1, 2].map((i) =>
    signal(`t${i + 1}`, [0, lengthS], 10_000, 0.1, (tS) => air(tS, i) + 0.05 * chance.normal()),
  );
  const minutes = Array.from({ length: lengthS / 60 }, (_, m) => Array.from({ length: 6 }, (_, k) => 60 * m + 10 * k));
  const medians = [0, 1, 2].map((i) => minutes.map((minute) => middle(minute.map((tS) => air(tS, i)))));
  const start = 60 * Math.max(...medians.map((of) => of.findIndex((value) => value >= 53)));
  const soak = Array.from({ length: (lengthS - start) / 10 }, (_, k) => start + 10 * k);
  const means = [0, 1, 2].map((i) => average(soak.map((tS) => air(tS, i))));
  const tens = Array.from({ length: Math.floor(soak.length / 60) }, (_, b) => soak.slice(60 * b, 60 * b + 60));
  const ranges = tens.map((ten) => {
    const of = [0, 1, 2].map((i) => average(ten.map((tS) => air(tS, i))));
    return Math.max(...of) - Math.min(...of);
  });
  const others = (i: number): number => average(means.filter((_, k) => k !== i));
  const mean = average(means);
  const near = soak.filter((tS) => Math.abs(average([0, 1, 2].map((i) => air(tS, i))) - 55) <= 2).length;
  return {
    trace: traceOf(modelRun(lengthS, []), { t1: signals[0]!, t2: signals[1]!, t3: signals[2]! }),
    truth: {
      "oven.mean": mean,
      "oven.max": Math.max(...medians.map((of) => Math.max(...of.slice(start / 60)))),
      "oven.spread": Math.max(...ranges),
      "oven.residual.1": means[0]! - others(0),
      "oven.residual.2": means[1]! - others(1),
      "oven.residual.3": means[2]! - others(2),
      ...(Math.abs(mean - 55) < 1 ? { "oven.soak_time": (near * 10) / 3600 } : {}),
      "oven.degree_hours": 0,
      "oven.ramp": 2,
    },
  };
}

export interface DryerLoad {
  readonly air?: number;
  readonly rate?: number;
  readonly waterKg?: number;
  readonly dryKg?: number;
  readonly hours?: number;
}

/** Vapour pressure over water in hPa: Antoine's formula with constants of a handbook (from memory), apart from the product's. */
const saturationHpa = (t: number): number => 1.33322 * 10 ** (8.07131 - 1730.63 / (233.426 + t));
const gkg = (t: number, rh: number): number => {
  const e = (rh / 100) * saturationHpa(t);
  return (621.98 * e) / (ambientHpa - e);
};
const rhOf = (t: number, w: number): number => (100 * ((ambientHpa * w) / (621.98 + w))) / saturationHpa(t);

/** A dryer load: water, air and probes by the balance of mass, a step of 5 s, a reading each 30 s. */
export function dryerRun(seed: number, load: DryerLoad = {}): ModelRun {
  const chance = new Chance(seed);
  const hours = load.hours ?? 7.5;
  const air = (load.air ?? 0.55) * (1 + 0.02 * chance.normal());
  const k = 3.6e-4 * (load.rate ?? 1) * (1 + 0.03 * chance.normal());
  const m0 = (load.waterKg ?? 38) * (1 + 0.05 * chance.normal());
  const dry = load.dryKg ?? 95;
  let [m, t, w, probe] = [m0, 45, 5, 8];
  const supply = (tS: number): number => 5 + 0.6 * Math.sin((2 * Math.PI * tS) / 5400);
  const rows: { rh: number; probe: number; t: number; w: number; m: number }[] = [];
  const dt = 5;
  for (let s = 0; s < hours * 3600; s += dt) {
    const rh = Math.min(100, rhOf(t, w));
    rows.push({ rh, probe, t, w, m });
    const equilibrium = 2e-4 * dry * rh;
    const deficit = (saturationHpa(t) * (1 - rh / 100)) / 10;
    const e = Math.max(0, k * deficit * Math.min(1, (m - equilibrium) / (0.35 * m0 - equilibrium)));
    m -= e * dt;
    w += ((1000 * e - air * (w - supply(s))) / 55) * dt;
    t += ((50 - t) / 900) * dt;
    probe += (rh - probe) * (1 - Math.exp(-dt / 25));
  }
  const row = (tS: number) => rows[Math.min(rows.length - 1, Math.floor(tS / dt))]!;
  const every = 30_000;
  const lengthS = hours * 3600;
  const noisy = (role: string, step: number, sd: number, of: (tS: number) => number): Signal =>
    signal(role, [0, lengthS], every, step, (tS) => of(tS) + sd * chance.normal());
  const trace = traceOf(modelRun(lengthS, [], { pair: "matched" }), {
    "return-rh": noisy("return-rh", 0.1, 0.3, (tS) => row(tS).probe),
    "return-t": noisy("return-t", 0.1, 0.15, (tS) => row(tS).t),
    "supply-rh": noisy("supply-rh", 0.1, 0.3, (tS) => rhOf(50, supply(tS))),
    "supply-t": noisy("supply-t", 0.1, 0.15, () => 50),
    airflow: signal("airflow", [0, lengthS], 10_000, 0.001, () => air + 0.004 * chance.normal()),
    witness: signal("witness", [0, lengthS], 60_000, 0.01, (tS) => dry + row(tS).m + 0.02 * chance.normal()),
    "dry-coat": told("dry-coat", [1, dry]),
    "expected-water": told("expected-water", [1, m0]),
  });
  const gain = (tS: number): number => row(tS).w - supply(tS);
  const stayed = rows.findIndex((_, i) => {
    const [from, to] = [i * dt - 1800, i * dt];
    if (from < 0) return false;
    for (let s = from; s <= to; s += 30) if (!(Math.abs(gain(s)) < 0.2 && row(s).rh < 20)) return false;
    return true;
  });
  const last = rows.slice(-1800 / dt);
  const end = rows.at(-1)!;
  return {
    trace,
    truth: {
      ...(stayed < 0 ? {} : { "dry.t_end": (stayed * dt) / 3600 }),
      "dry.water": m0 - end.m,
      "dry.water_ratio": (m0 - end.m) / m0,
      "dry.residual": (100 * end.m) / dry,
      "dry.dw_end": average(last.map((one, i) => one.w - supply(lengthS - 1800 + i * dt))),
      "dry.unweighed": average(
        last.map((one, i) => one.w - supply(lengthS - 1800 + i * dt) - (1000 * fall(last)) / air),
      ),
      "dry.rh_peak": Math.max(...rows.map((one) => one.probe)),
      "dry.rh_end": average(last.map((one) => one.rh)),
      "dry.w_peak": Math.max(...rows.map((one) => gkg(one.t, one.probe))),
      "dry.dew_end": dewOf(average(last.map((one) => one.w))),
      "dry.t_mean": average(rows.map((one) => one.t)),
      "dry.t_max": 50,
    },
  };
}

/** Water lost a second over the last half hour. */
function fall(rows: readonly { readonly m: number }[]): number {
  return (rows[0]!.m - rows.at(-1)!.m) / 1795;
}

function dewOf(w: number): number {
  const e = (ambientHpa * w) / (621.98 + w);
  return 1730.63 / (8.07131 - Math.log10(e / 1.33322)) - 233.426;
}

/** A flask on the table, 60 s, from one-second values as the edge makes them. */
export function flaskRun(seed: number): ModelRun {
  const chance = new Chance(seed);
  const g = 0.967 * (1 + 0.015 * chance.normal());
  const hz = 40 + 0.15 * chance.normal();
  const on = (tS: number): number => 1 - Math.exp(-(tS + 0.5) / 0.8);
  const second = (role: string, level: (tS: number) => number, sd: number, step = 1e-6): Signal =>
    signal(role, [0, 60], 1000, step, (tS) => level(tS) * (1 + sd * chance.normal()));
  const run = modelRun(60, [
    ["bed", 0, 15],
    ["fill", 15, 40],
    ["final", 40, 60],
  ]);
  const kg = 460 + 6 * chance.normal();
  return {
    trace: traceOf(run, {
      "vibration-z.rms": second("vibration-z.rms", (tS) => g * on(tS), 0.003),
      "vibration-z.peak": second("vibration-z.peak", (tS) => 1.6 * g * on(tS), 0.015),
      "vibration-z.f1": second("vibration-z.f1", () => hz, 0.0005),
      "vibration-z.hf": second("vibration-z.hf", () => 0.044, 0.02),
      "vibration-z.half": second("vibration-z.half", () => 0.003, 0.2),
      "vibration-z.two": second("vibration-z.two", () => 0.074, 0.01),
      "vibration-x.rms": second("vibration-x.rms", (tS) => 0.1 * g * on(tS), 0.01),
      "vibration-y.rms": second("vibration-y.rms", (tS) => 0.12 * g * on(tS), 0.01),
      "wall-z.rms": second("wall-z.rms", (tS) => 0.96 * g * on(tS), 0.003),
      "wall-z.peak": second("wall-z.peak", (tS) => 1.54 * g * on(tS), 0.015),
      "wall-z.hf": second("wall-z.hf", () => 0.044, 0.02),
      "motor-1": signal("motor-1", [0, 60], 100, 0.01, () => 6.4 + 0.05 * chance.normal()),
      "motor-2": signal("motor-2", [0, 60], 100, 0.01, () => 6.4 + 0.05 * chance.normal()),
      "drive-hz": signal("drive-hz", [0, 60], 1000, 0.01, () => hz + 0.02 * chance.normal()),
      clamp: signal("clamp", [0, 60], 1000, 0.01, () => 6 + 0.02 * chance.normal()),
      "sand-t": signal("sand-t", [0, 60], 1000, 0.1, (tS) => 38 + 0.01 * tS + 0.15 * chance.normal()),
      "fill-mass": signal("fill-mass", [0, 60], 200, 0.1, (tS) => {
        return kg * Math.max(0, Math.min(1, (tS - 15) / 25)) + 0.5 * chance.normal();
      }),
    }),
    truth: {
      "vib.rms": g,
      "vib.rms.x": 0.1 * g,
      "vib.rms.y": 0.12 * g,
      "vib.peak": 1.6 * g * 1.025,
      "vib.crest": 1.6 * 1.025,
      "vib.f1": hz,
      "vib.hf": 0.044,
      "vib.half": 0.003,
      "vib.two": 0.074,
      "vib.sync": 0.003 * g,
      "vib.lateral": Math.hypot(0.1, 0.12),
      "vib.wall": 0.96,
      "vib.wall.crest": (1.54 / 0.96) * 1.025,
      "vib.alone": (1 - 1.6) * 0.044,
      "vib.wall.hf": 0.044,
      "vib.t_on": 59,
      "vib.motors": 0,
      "sand.T_fill": 38.275,
      "sand.mass": kg,
    },
  };
}

/** A pour: stream, scale, vacuum, and the heat's analysis of the morning. */
export function pourRun(seed: number, { gapS = 0 }: { readonly gapS?: number } = {}): ModelRun {
  const chance = new Chance(seed);
  const first = 750 + 4 * chance.normal();
  const lengthS = Math.round(chance.between(12, 16)) + gapS;
  const rate = 1.2 * (1 + 0.05 * chance.normal());
  const [gapFrom, gapTo] = [5, 5 + gapS];
  const flowed = (tS: number): number => Math.min(tS, gapFrom) + Math.max(0, tS - gapTo);
  const before = (role: string, value: number): Sample => ({
    series: role,
    tMs: modelStartMs - 3_600_000,
    value,
    quality: "good",
  });
  const vacuum = (tS: number): number => 45 - 10 * Math.min(1, tS / 3);
  return {
    trace: traceOf(
      modelRun(lengthS, []),
      {
        stream: signal("stream", [0, lengthS], 100, 0.1, (tS) => first - 0.4 * tS + 1.5 * chance.normal()),
        mass: signal("mass", [0, lengthS], 100, 0.01, (tS) => rate * flowed(tS) + 0.01 * chance.normal()),
        vacuum: signal("vacuum", [0, lengthS], 200, 0.1, (tS) => vacuum(tS) + 0.5 * chance.normal()),
        "chem-si": told("chem-si"),
        "chem-cu": told("chem-cu"),
        "chem-mg": told("chem-mg"),
      },
      { before: { "chem-si": [before("chem-si", 7)], "chem-cu": [], "chem-mg": [before("chem-mg", 0.3)] } },
    ),
    truth: {
      // The ripple lifts the highest of about twenty medians of three by some two kelvin.
      "pour.T1": first + 1.3,
      "pour.superheat": first + 1.3 - (660.452 - 6.11 * 7 - 0.057 * 49 - 6 * 0.3),
      "pour.gap": gapS,
      "pour.gaps": gapS > 0 ? 1 : 0,
      "pour.flow_time": lengthS - 0.1,
      "pour.mass": rate * flowed(lengthS - 0.1),
      "pour.rate": rate,
      "pour.vacuum": average(Array.from({ length: 400 }, (_, i) => vacuum((i * lengthS) / 400))),
      "pour.vacuum_min": 35,
      "pour.vacuum_drop": 10,
    },
  };
}

export interface Ladle {
  /** K by which the tap was cold. */
  readonly tap?: number;
  /** K that a cold ladle takes from the first flask, falling to a third each 1.1 flasks. */
  readonly coldLadle?: number;
  readonly soot?: number;
  readonly pours?: number;
  /** How long the tip stays in the metal, s. */
  readonly dwellS?: number;
}

/** A ladle of eight flasks, 72 s apart, with a dip between tap and first pour. */
export function ladleRun(seed: number, ladle: Ladle = {}): ModelRun {
  const chance = new Chance(seed);
  const tap = 1420 + 37 + 6 * chance.normal() - (ladle.tap ?? 0);
  const loss = 9 + chance.normal();
  const metal = (minute: number): number => tap - loss * (minute - 1);
  const count = ladle.pours ?? 8;
  const cold = (i: number): number => (ladle.coldLadle ?? 0) * Math.exp(-i / 1.5);
  const pours = Array.from({ length: count }, (_, i) => {
    const startMs = modelStartMs + 60_000 + i * 72_000;
    const cel = metal(1 + i * 1.2) - cold(i) - (ladle.soot ?? 0) + 0.7 * chance.normal();
    return {
      run: {
        ...modelRun(22, []),
        id: runId("M-2", startMs),
        startMs,
        endMs: startMs + 22_000,
        context: { position: `${i + 1}` },
      },
      features: [{ feature: "pour.T1", version: 2, unit: "Cel", value: cel } satisfies FeatureValue],
    };
  });
  const tau = chance.between(0.7, 1.2);
  const tip = chance.normal();
  const dwell = ladle.dwellS ?? 9;
  const into = metal(0.4) - cold(0) + 2 * tip;
  const hot = (tS: number): number => 25 + (into - 25) * (1 - Math.exp(-tS / tau));
  const dip = signal("dip", [20, 34], 100, 0.1, (tS) => {
    const s = tS - 20;
    const value = s < dwell ? hot(s) : 25 + (hot(dwell) - 25) * Math.exp(-(s - dwell) / 2);
    return value + 0.3 * chance.normal();
  });
  const lengthS = 60 + (count - 1) * 72 + 22;
  return {
    trace: traceOf(modelRun(lengthS, []), { dip }, { inside: pours }),
    truth: {
      "ladle.first": metal(1) - cold(0) - (ladle.soot ?? 0),
      "ladle.slope": -loss,
      ...Object.fromEntries(pours.map((_, i) => [`ladle.residual.${i + 1}`, 0])),
      "ladle.first_minus_line": -cold(0),
      "ladle.loss": loss * 1.2 * (count - 1),
      "ladle.dip": into,
      "pour.pyro_minus_dip": -(ladle.soot ?? 0) - 2 * tip + 0 * cold(0),
    },
  };
}

/** A check of the furnace by dip, 15 s. */
export function checkRun(seed: number, { dwellS = 9 }: { readonly dwellS?: number } = {}): ModelRun {
  const chance = new Chance(seed);
  const bath = 1480 + 5 * chance.normal();
  const off = 2.5 * chance.normal();
  const tau = chance.between(0.7, 1.2);
  const hot = (s: number): number => 25 + (bath - 25) * (1 - Math.exp(-s / tau));
  return {
    trace: traceOf(modelRun(15, []), {
      "metal-t": signal("metal-t", [0, 15], 1000, 0.1, () => bath + off + 0.3 * chance.normal()),
      dip: signal("dip", [2, 15], 100, 0.1, (tS) => {
        const s = tS - 2;
        return (s < dwellS ? hot(s) : 25 + (hot(dwellS) - 25) * Math.exp(-(s - dwellS) / 2)) + 0.3 * chance.normal();
      }),
    }),
    truth: { "furnace.minus_dip": off, "furnace.dip": bath },
  };
}

/** A pour of iron that a hypereutectic heat filled: there is no austenite liquidus for its metal to be above. */
export function hypereutecticPour(seed: number): ModelRun {
  const chance = new Chance(seed);
  const { trace } = pourRun(seed);
  const analysed = (role: string, value: number): readonly Sample[] => [
    { series: `M-1/${role}`, tMs: modelStartMs - 3_600_000, value, quality: "good" },
  ];
  const before = {
    "chem-c": analysed("chem-c", chance.between(3.65, 3.9)),
    "chem-si": analysed("chem-si", chance.between(2.4, 2.9)),
    "chem-mn": analysed("chem-mn", 0.2),
    "chem-p": [],
    "chem-s": [],
  };
  const roles = { ...trace.samples, "chem-c": [], "chem-mn": [], "chem-p": [], "chem-s": [] };
  return { trace: { ...trace, samples: roles, before }, truth: { "pour.superheat": Number.NaN } };
}
