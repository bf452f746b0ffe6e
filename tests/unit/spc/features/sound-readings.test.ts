import { expect, test } from "vitest";
import type { Reading } from "../../../../spc/features/readings.ts";
import {
  clippedAt,
  withoutDropouts,
  withoutLoneSpikes,
  withoutStuck,
} from "../../../../spc/features/sound-readings.ts";
import { normals } from "../../../property/spc/seeded.ts";

const noisy = (seed: number, count: number, step = 0.001): Reading[] => {
  const noise = normals(seed);
  return Array.from({ length: count }, (_, i) => ({ tMs: 50 * i, value: step * Math.round((0.01 * noise()) / step) }));
};

test("a frozen stretch keeps its first reading only", () => {
  const readings = noisy(1, 400).map((one) => (one.tMs >= 5000 && one.tMs < 6000 ? { ...one, value: 0.004 } : one));
  const kept = withoutStuck(readings);
  expect(kept.filter(({ tMs }) => tMs >= 5000 && tMs < 6000).length).toBeLessThanOrEqual(2);
  expect(kept.length).toBeGreaterThanOrEqual(380);
});

test("noise of fine or coarse steps, and a slow signal of coarse steps, keep every reading", () => {
  for (const step of [0.0001, 0.001, 0.01, 0.02]) {
    for (let seed = 0; seed < 20; seed += 1) {
      const readings = noisy(seed, 2000, step);
      expect(withoutStuck(readings).length).toBe(2000);
    }
  }
  const slow = Array.from({ length: 2000 }, (_, i) => ({ tMs: i, value: Math.round(10 * Math.sin(i / 300)) / 10 }));
  expect(withoutStuck(slow).length).toBe(2000);
});

test("a signal that never moves is left to its caller", () => {
  const still = noisy(1, 30).map((one) => ({ ...one, value: 1 }));
  expect(withoutStuck(still)).toBe(still);
});

test("a lone spike is taken out; noise, a step and a ramp are not", () => {
  const readings = noisy(3, 400);
  const spiked = readings.map((one, i) => (i % 90 === 45 ? { ...one, value: i % 180 === 45 ? 0.4 : -0.4 } : one));
  expect(withoutLoneSpikes(spiked)).toEqual(readings.filter((_, i) => i % 90 !== 45));
  for (let seed = 0; seed < 40; seed += 1) expect(withoutLoneSpikes(noisy(seed, 2000)).length).toBe(2000);
  const step = readings.map((one, i) => (i < 200 ? one : { ...one, value: one.value + 5 }));
  expect(withoutLoneSpikes(step).length).toBe(400);
  const ramp = readings.map((one, i) => ({ ...one, value: i }));
  expect(withoutLoneSpikes(ramp).length).toBe(400);
});

test("readings pinned at the end of a range are told from a signal that settles", () => {
  const free = noisy(5, 200);
  expect(clippedAt(free)).toEqual([]);
  expect(clippedAt(free.map((one) => ({ ...one, value: Math.min(one.value, 0.003) })))).toEqual([0.003]);
  expect(clippedAt(free.map((one) => ({ ...one, value: Math.max(one.value, -0.003) })))).toEqual([-0.003]);
  expect(clippedAt(noisy(5, 200, 0.01))).toEqual([]);
  expect(clippedAt(free.slice(0, 10))).toEqual([]);
  const settling = free.map(({ tMs }) => ({ tMs, value: Math.round(500 * (1 - Math.exp(-tMs / 700))) / 10 }));
  expect(clippedAt(settling)).toEqual([]);
});

test("readings of nothing amid others are a loose cable; a signal about nothing, or one switched off, keeps them", () => {
  const readings = noisy(7, 400).map(({ tMs, value }) => ({ tMs, value: 5 + value }));
  const loose = (i: number): boolean => [40, 41, 42, 150, 151, 290].includes(i);
  const dropped = readings.map((one, i) => (loose(i) ? { ...one, value: 0 } : one));
  expect(withoutDropouts(dropped)).toEqual(readings.filter((_, i) => !loose(i)));
  for (let seed = 0; seed < 20; seed += 1) {
    const about = noisy(seed, 2000, 0.01);
    expect(withoutDropouts(about)).toBe(about);
  }
  const off = readings.map((one, i) => ((i >= 100 && i < 150) || i > 300 ? { ...one, value: 0 } : one));
  expect(withoutDropouts(off)).toBe(off);
});
