import { expect, test } from "vitest";
import { autoregressive, ornsteinUhlenbeck } from "../../../simulator/ornstein-uhlenbeck.ts";
import { normalTable, randomAt } from "../../../simulator/random.ts";

const n = 200_000;
// Standard errors over n independent draws; five of them leave nothing to chance, and the seed is fixed besides.
const five = 5 / Math.sqrt(n);

function averages(values: readonly number[]): { mean: number; square: number; fourth: number } {
  const mean = (power: number): number => values.reduce((sum, v) => sum + v ** power, 0) / values.length;
  return { mean: mean(1), square: mean(2), fourth: mean(4) };
}

test("uniform numbers lie in [0, 1) and fill it evenly", () => {
  const random = randomAt(1, "PR-01", 0, "test");
  const counts = new Array(20).fill(0);
  for (let i = 0; i < n; i += 1) counts[Math.floor(random.uniform() * 20)] += 1;
  // Chi-squared over 20 cells: 99.9 % lie below 43.8 (tables of the distribution, 19 degrees of freedom).
  const chi = counts.reduce((sum: number, c: number) => sum + (c - n / 20) ** 2 / (n / 20), 0);
  expect(chi).toBeLessThan(43.8);
});

test("normal numbers have the moments of the normal distribution", () => {
  const random = randomAt(1, "PR-01", 0, "test");
  const { mean, square, fourth } = averages(Array.from({ length: n }, () => random.normal()));
  expect(Math.abs(mean)).toBeLessThan(five);
  expect(Math.abs(square - 1)).toBeLessThan(five * Math.SQRT2);
  expect(Math.abs(fourth - 3)).toBeLessThan(five * Math.sqrt(96));
});

test("the table of normal numbers is one, and always the same", () => {
  const table = normalTable();
  expect(normalTable()).toBe(table);
  const { mean, square } = averages([...table.subarray(0, n)]);
  expect(Math.abs(mean)).toBeLessThan(five);
  expect(Math.abs(square - 1)).toBeLessThan(five * Math.SQRT2);
});

test("neighbouring runs, stations, purposes and seeds draw unrelated numbers", () => {
  const draw = (seed: number, station: string, run: number, purpose: string): number[] => {
    const random = randomAt(seed, station, run, purpose);
    return Array.from({ length: 5000 }, () => random.normal());
  };
  const here = draw(1, "PR-01", 0, "a");
  for (const there of [
    draw(2, "PR-01", 0, "a"),
    draw(1, "PR-02", 0, "a"),
    draw(1, "PR-01", 1, "a"),
    draw(1, "PR-01", 0, "b"),
  ]) {
    const together = here.reduce((sum, v, i) => sum + v * (there[i] as number), 0) / here.length;
    expect(Math.abs(together)).toBeLessThan(5 / Math.sqrt(here.length));
  }
});

test("runs do not hang together by their number", () => {
  const first = Array.from({ length: 20_000 }, (_, run) => randomAt(3, "CT-A1", run, "force").normal());
  const { mean, square } = averages(first);
  const next = first.slice(1).reduce((sum, v, i) => sum + v * (first[i] as number), 0) / first.length;
  expect(Math.abs(mean)).toBeLessThan(5 / Math.sqrt(first.length));
  expect(Math.abs(square - 1)).toBeLessThan(5 * Math.sqrt(2 / first.length));
  expect(Math.abs(next)).toBeLessThan(5 / Math.sqrt(first.length));
});

// Uhlenbeck and Ornstein 1930: stationary sd sigma, correlation exp(-lag / tau) (from memory).
test("an Ornstein-Uhlenbeck walk has its sd and its memory, whatever the step", () => {
  for (const step of [0.05, 1]) {
    const walk = ornsteinUhlenbeck(randomAt(1, "x", 0, "walk"), 2, 5, step);
    const values = Array.from({ length: n }, walk);
    const { square } = averages(values);
    const correlated = values.slice(1).reduce((sum, v, i) => sum + v * (values[i] as number), 0) / n / square;
    // Memory leaves only n * step / (2 * tau) independent values.
    expect(Math.abs(Math.sqrt(square) / 2 - 1)).toBeLessThan(5 / Math.sqrt((n * step) / 10));
    expect(correlated).toBeCloseTo(Math.exp(-step / 5), 2);
  }
});

test("a state that remembers its predecessor is the same whoever asks first", () => {
  const make = () => autoregressive(randomAt(1, "x", 0, "state"), 0.45, 0.01, -100);
  const jumped = make()(5000);
  const walked = make();
  for (let run = -100; run < 5000; run += 1) walked(run);
  expect(walked(5000)).toBe(jumped);
  expect(() => walked(-101)).toThrow(RangeError);
});
