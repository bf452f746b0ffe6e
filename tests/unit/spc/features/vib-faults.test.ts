import { expect, test } from "vitest";
import { featureCatalogue } from "../../../../spc/features/catalogue.ts";
import type { RunTrace } from "../../../../spc/model/run.ts";
import type { Sample } from "../../../../spc/model/sample.ts";
import { reducedMeasures, reduceWaveform } from "../../../../spc/vibration/reduce.ts";
import { normals, uniforms } from "../../../property/spc/seeded.ts";
import { codeOf, numberOf, runOf, startMs } from "./traces.ts";

const rateHz = 2048;
const specification = { lower: 0.85, upper: 1.09 };

interface Table {
  /** Share of the second motor's push, 1 when it runs. */
  readonly second?: number;
  readonly beatHz?: number;
  /** Ringing of a worn bearing: bursts of 0.6 kHz, g peak. */
  readonly bearing?: number;
  /** Knocks of a loose clamp each second turn, g peak. */
  readonly knock?: number;
  readonly knockOnWall?: boolean;
  readonly seed?: number;
}

/** Twenty seconds of a table's waveform, as our own formula has it, reduced second by second as at the edge. */
function tableRun(table: Table = {}): RunTrace {
  const noise = normals(table.seed ?? 1);
  const jitter = uniforms(table.seed ?? 1);
  const samples: Record<string, Sample[]> = {};
  const seconds = 20;
  for (let second = 0; second < seconds; second += 1) {
    const blocks = { "vibration-z": new Float64Array(rateHz), "wall-z": new Float64Array(rateHz) };
    let turn = -1;
    let ring = 0;
    for (let i = 0; i < rateHz; i += 1) {
      const t = second + i / rateHz;
      const fill = 1 - 0.12 * (1 - Math.exp(-t / 12));
      const phase = 2 * Math.PI * 40 * t;
      const pushes = Math.sin(phase) + (table.second ?? 1) * Math.sin(phase + 2 * Math.PI * (table.beatHz ?? 0) * t);
      const body = 0.75 * fill * pushes + 0.105 * Math.sin(2 * phase + 1) + 0.045 * Math.sin(3 * phase + 2);
      const knocks = Math.floor(20 * t);
      if (knocks !== turn) ring = i;
      turn = knocks;
      const since = (i - ring) / rateHz;
      const knock = (table.knock ?? 0) * Math.exp(-since / 0.004) * Math.sin(2 * Math.PI * 300 * since);
      const bearing =
        (table.bearing ?? 0) * Math.exp(-((t * 143) % 1) / 0.4) * Math.sin(2 * Math.PI * 600 * t + jitter());
      blocks["vibration-z"][i] = body + knock + bearing + 0.05 * noise();
      blocks["wall-z"][i] = 0.96 * (body + bearing) + (table.knockOnWall === false ? 0 : knock) + 0.05 * noise();
    }
    for (const [axis, block] of Object.entries(blocks)) {
      const reduced = reduceWaveform(block, rateHz);
      if (!reduced.ok) throw new Error(reduced.refusal.code);
      for (const measure of reducedMeasures) {
        const role = `${axis}.${measure}`;
        const one = {
          series: role,
          tMs: startMs + second * 1000,
          value: reduced.value[measure],
          quality: "good" as const,
        };
        samples[role] = [...(samples[role] ?? []), one];
      }
    }
  }
  const everyMs = Object.fromEntries(Object.keys(samples).map((role) => [role, 1000]));
  return { run: runOf(seconds, [["final", 0, seconds]]), samples, everyMs, ambientPressureHpa: 1013.25 };
}

const of = (id: string, trace: RunTrace): number => numberOf(featureCatalogue[id]!({}).extract(trace));
const healthy = tableRun();

test("a healthy table: RMS, crest and high band as the formula has them", () => {
  // 1.5 g peak over the square root of 2, less what the sand's mass takes, with both harmonics: 0.96 to 0.98 g.
  expect(of("vib.rms", healthy)).toBeCloseTo(0.97, 1);
  expect(of("vib.f1", healthy)).toBeCloseTo(40, 1);
  expect(of("vib.crest", healthy)).toBeLessThan(1.9);
  // White noise of 0.05 g over 1024 Hz leaves 0.05 sqrt(800 / 1024) between 200 and 1000 Hz.
  expect(of("vib.hf", healthy)).toBeCloseTo(0.05 * Math.sqrt(800 / 1024), 2);
  expect(of("vib.sync", healthy)).toBeLessThan(0.02);
  expect(of("vib.wall", healthy)).toBeCloseTo(0.96, 2);
});

test("a worn bearing is named by the high band, a loose clamp by crest, while RMS stays within its specification", () => {
  const bearing = tableRun({ bearing: 1 });
  const clamp = tableRun({ knock: 2.5 });
  for (const fault of [bearing, clamp]) {
    expect(of("vib.rms", fault)).toBeGreaterThan(specification.lower);
    expect(of("vib.rms", fault)).toBeLessThan(specification.upper);
  }
  expect(of("vib.hf", bearing)).toBeGreaterThan(5 * of("vib.hf", healthy));
  expect(of("vib.crest", clamp)).toBeGreaterThan(2.2);
  expect(of("vib.crest", clamp)).toBeGreaterThan(of("vib.crest", bearing));
});

test("a loose clamp knocks on table and wall, a loose sensor on its own channel alone", () => {
  const [clamp, sensor] = [tableRun({ knock: 2.5 }), tableRun({ knock: 2.5, knockOnWall: false })];
  expect(of("vib.wall.crest", clamp)).toBeGreaterThan(of("vib.wall.crest", healthy) + 0.5);
  expect(of("vib.wall.crest", sensor)).toBeCloseTo(of("vib.wall.crest", healthy), 1);
  expect(of("vib.crest", sensor)).toBeGreaterThan(of("vib.crest", healthy) + 0.5);
});

test("rattling alone rises with a loose sensor of any size, and with nothing that reaches the wall", () => {
  for (const knock of [0.1, 0.2, 1, 2.5]) {
    expect(of("vib.alone", tableRun({ knock }))).toBeLessThan(of("vib.alone", healthy) + 0.0005);
    const sensor = tableRun({ knock, knockOnWall: false });
    const grown = of("vib.hf", sensor) - of("vib.hf", healthy);
    expect(grown).toBeGreaterThan(0.0015);
    expect(of("vib.alone", sensor) - of("vib.alone", healthy)).toBeCloseTo(grown, 4);
  }
  for (const fault of [tableRun({ bearing: 1 }), tableRun({ beatHz: 0.35 }), tableRun({ second: 0 })]) {
    expect(of("vib.alone", fault)).toBeLessThan(of("vib.alone", healthy) + 0.0005);
  }
});

test("a small knock of a loose sensor leaves the crest within its noise, and shows in the band", () => {
  const [seeds, knock] = [[1, 2, 3, 4, 5, 6], 0.16];
  const change = (id: string) =>
    seeds.map((seed) => of(id, tableRun({ seed, knock, knockOnWall: false })) - of(id, tableRun({ seed })));
  const healthyOnes = seeds.map((seed) => of("vib.alone", tableRun({ seed })));
  const spread = Math.max(...healthyOnes) - Math.min(...healthyOnes);
  expect(Math.min(...change("vib.alone"))).toBeGreaterThan(spread);
});

test("one motor out halves the RMS, motors out of step make it beat", () => {
  expect(of("vib.rms", tableRun({ second: 0 }))).toBeCloseTo(0.5 * of("vib.rms", healthy), 1);
  const lost = tableRun({ beatHz: 0.35 });
  expect(of("vib.sync", lost)).toBeGreaterThan(0.15);
  expect(of("vib.rms", lost)).toBeLessThan(0.8);
});

test("a stopped motor shows in the currents, and a frozen channel does not pass for one", () => {
  const currents = (one: (i: number) => number, two: (i: number) => number): RunTrace => {
    const role = (series: string, amps: (i: number) => number): Sample[] =>
      Array.from({ length: 200 }, (_, i) => ({ series, tMs: startMs + 100 * i, value: amps(i), quality: "good" }));
    return {
      run: runOf(20, [["final", 0, 20]]),
      samples: { "motor-1": role("motor-1", one), "motor-2": role("motor-2", two) },
      everyMs: { "motor-1": 100, "motor-2": 100 },
      ambientPressureHpa: 1013.25,
    };
  };
  const running = (i: number): number => 6.4 + 0.05 * Math.sin(7 * i);
  const motors = featureCatalogue["vib.motors"]!({});
  expect(numberOf(motors.extract(currents(running, running)))).toBe(0);
  expect(numberOf(motors.extract(currents(running, () => 0)))).toBe(100);
  expect(numberOf(motors.extract(currents(running, (i) => running(i) * 1.2)))).toBeCloseTo(9.1, 1);
  expect(codeOf(motors.extract(currents(running, () => 6.4)))).toBe("signal-stuck");
  expect(
    codeOf(
      motors.extract(
        currents(
          () => 0,
          () => 0,
        ),
      ),
    ),
  ).toBe("no-vibration");
});

test("time that the table shook in earnest", () => {
  const rms = (tS: number): number => (tS < 30 ? 0.97 : 0.4) + 0.003 * Math.sin(tS);
  const series = Array.from({ length: 60 }, (_, i): Sample => {
    return { series: "r", tMs: startMs + 1000 * i, value: rms(i), quality: "good" };
  });
  const trace = {
    run: runOf(60),
    samples: { "vibration-z.rms": series },
    everyMs: { "vibration-z.rms": 1000 },
    ambientPressureHpa: 1000,
  };
  const on = featureCatalogue["vib.t_on"]!({});
  expect(numberOf(on.extract(trace))).toBe(30);
  const lacking = { ...trace, samples: { "vibration-z.rms": series.filter((_, i) => i % 15 !== 7) } };
  expect(Math.abs(numberOf(on.extract(lacking)) - 30)).toBeLessThan(2);
});
