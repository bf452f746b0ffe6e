import type { Outcome } from "../../../../spc/model/outcome.ts";
import { type ClosedBy, type Run, type RunTrace, runId } from "../../../../spc/model/run.ts";
import type { Sample } from "../../../../spc/model/sample.ts";
import { normals } from "../../../property/spc/seeded.ts";

export const startMs: number = Date.UTC(2026, 10, 25, 8);

/** A run of `lengthS` seconds with segments given as [name, from, to] in seconds. */
export function runOf(
  lengthS: number,
  segments: readonly (readonly [string, number, number])[] = [],
  closedBy: ClosedBy = "end-condition",
): Run {
  return {
    id: runId("ST-1", startMs),
    station: "ST-1",
    startMs,
    endMs: startMs + lengthS * 1000,
    closedBy,
    segments: segments.map(([name, fromS, toS]) => ({
      name,
      fromMs: startMs + fromS * 1000,
      toMs: startMs + toS * 1000,
    })),
    context: {},
  };
}

/** Good readings of a role on an even grid over [fromS, toS), from a function of the second. */
export function readingsOf(
  role: string,
  fromS: number,
  toS: number,
  everyMs: number,
  value: (tS: number) => number,
): readonly Sample[] {
  const count = Math.round(((toS - fromS) * 1000) / everyMs);
  return Array.from({ length: count }, (_, i) => {
    const tS = fromS + (i * everyMs) / 1000;
    return { series: `ST-1/${role}`, tMs: startMs + Math.round(tS * 1000), value: value(tS), quality: "good" };
  });
}

export function traceOf(
  run: Run,
  roles: Readonly<Record<string, readonly [everyMs: number, samples: readonly Sample[]]>>,
): RunTrace {
  const entries = Object.entries(roles);
  return {
    run,
    samples: Object.fromEntries(entries.map(([role, [, samples]]) => [role, samples])),
    everyMs: Object.fromEntries(entries.map(([role, [everyMs]]) => [role, everyMs])),
    ambientPressureHpa: 1013.25,
  };
}

/** The same trace with a role's readings changed: another sample, or none for null. */
export function altered(
  trace: RunTrace,
  role: string,
  change: (sample: Sample, tS: number) => Sample | null,
): RunTrace {
  const samples = (trace.samples[role] ?? []).flatMap((one) => change(one, (one.tMs - startMs) / 1000) ?? []);
  return { ...trace, samples: { ...trace.samples, [role]: samples } };
}

export function numberOf(outcome: Outcome<number>): number {
  if (!outcome.ok) throw new Error(`refused: ${outcome.refusal.code}, ${outcome.refusal.detail}`);
  return outcome.value;
}

export function codeOf(outcome: Outcome<unknown>): string {
  return outcome.ok ? `gave ${String(outcome.value)}` : outcome.refusal.code;
}

export interface ShotShape {
  /** Time constant of the autoclave step in s. */
  readonly tauS?: number;
  readonly autoclave?: number;
  readonly noise?: number;
  readonly seed?: number;
}

/** Steps of a shot: name, seconds, set pressure in bar gauge, time constant in s. Our own simulation, no source. */
const steps = (shape: ShotShape): readonly (readonly [string, number, number, number])[] => [
  ["fill", 12, 0, 1],
  ["preheat", 2, 0.12, 0.5],
  ["cross-steam-a", 4, 0.35, 0.6],
  ["cross-steam-b", 4, 0.45, 0.6],
  ["autoclave", 7, shape.autoclave ?? 0.9, shape.tauS ?? 0.7],
  ["vent", 4, 0, 0.9],
  ["cool", 22, 0, 1],
  ["vacuum", 18, -0.65, 2.5],
  ["eject", 6, 0, 0.6],
];

/** A shot of 79 s at 20 Hz: each step is approached exponentially; `noise` is the readings' standard deviation. */
export function shotTrace(shape: ShotShape = {}): RunTrace {
  const noise = normals(shape.seed ?? 1);
  const segments: [string, number, number][] = [];
  const samples: Sample[] = [];
  let [fromS, from] = [0, 0];
  for (const [name, lengthS, set, tauS] of steps(shape)) {
    const [beganS, began] = [fromS, from];
    const level = (tS: number): number => set + (began - set) * Math.exp(-(tS - beganS) / tauS);
    samples.push(
      ...readingsOf("pressure", fromS, fromS + lengthS, 50, (tS) => level(tS) + (shape.noise ?? 0.006) * noise()),
    );
    segments.push([name, fromS, fromS + lengthS]);
    fromS += lengthS;
    from = level(fromS);
  }
  return traceOf(runOf(fromS, segments), { pressure: [50, samples] });
}

/** A load of the ageing oven: up at 2 K/min from 25 Cel, then set plus each position's own offset, with a slow swing. */
export function ovenTrace(offsets: readonly [number, number, number] = [-0.5, 0, 0.8], hours = 2): RunTrace {
  const role = (i: number): readonly [number, readonly Sample[]] => {
    const noise = normals(i + 1);
    const temperature = (tS: number): number =>
      Math.min(25 + tS / 30, 55 + offsets[i]!) + (tS > 960 ? 0.5 * Math.sin((2 * Math.PI * tS) / 260) : 0);
    return [1000, readingsOf(`t${i + 1}`, 0, hours * 3600, 1000, (tS) => temperature(tS) + 0.05 * noise())];
  };
  return traceOf(runOf(hours * 3600), { t1: role(0), t2: role(1), t3: role(2) });
}

/** A dryer load of 4 h: humid at first, then as dry as the supply but for `gainRh` percent at 50 Cel. */
export function dryerTrace(gainRh = 0.5): RunTrace {
  const [lengthS, everyMs] = [4 * 3600, 30_000];
  const noise = normals(5);
  const supply = (tS: number): number => 6.5 + 0.8 * Math.sin((2 * Math.PI * tS) / 5400);
  const series = (role: string, value: (tS: number) => number): readonly [number, readonly Sample[]] => [
    everyMs,
    readingsOf(role, 0, lengthS, everyMs, value),
  ];
  const hump = (tS: number): number => 10 * Math.exp(-(((tS - 3000) / 2000) ** 2));
  return traceOf(runOf(lengthS), {
    "supply-rh": series("supply-rh", (tS) => supply(tS) + 0.02 * noise()),
    "return-rh": series("return-rh", (tS) => supply(tS) + hump(tS) + gainRh + 0.02 * noise()),
    "supply-t": series("supply-t", () => 50 + 0.02 * noise()),
    "return-t": series("return-t", () => 50 + 0.02 * noise()),
  });
}

/** A flask on the compaction table: bed 20 s, fill 40 s, final 30.4 s; reduced vibration once a second. */
export function flaskTrace(rms = 0.97, peak = 1.58, hf = 0.044): RunTrace {
  const noise = normals(9);
  const series = (role: string, level: number): readonly [number, readonly Sample[]] => [
    1000,
    readingsOf(role, 0.3, 90.3, 1000, () => level * (1 + 0.002 * noise())),
  ];
  return traceOf(
    runOf(90.4, [
      ["bed", 0, 20],
      ["fill", 20, 60],
      ["final", 60, 90.4],
    ]),
    {
      "vibration-z.rms": series("vibration-z.rms", rms),
      "vibration-z.peak": series("vibration-z.peak", peak),
      "vibration-z.hf": series("vibration-z.hf", hf),
    },
  );
}

/** An aluminium pour of 11 s: stream at 10 Hz, falling by 0.4 K/s. */
export function pourTrace(first = 750, ripple = 0.5): RunTrace {
  const noise = normals(13);
  const stream = readingsOf("stream", 0, 11, 100, (tS) => first - 0.4 * tS + ripple * noise());
  return traceOf(runOf(11), { stream: [100, stream] });
}
