import { expect, test } from "vitest";
import { firstDayFaults } from "../../../simulator/demo-faults.ts";
import { readFault } from "../../../simulator/fault-words.ts";
import { faultKinds } from "../../../simulator/faults.ts";
import { occasionalFaults } from "../../../simulator/occasional-faults.ts";

const key = { seed: 7, firstMs: Date.UTC(2026, 10, 24) };
const day = 86_400_000;

test("faults come now and then: more than one a day, fewer than one in four hours", () => {
  const faults = occasionalFaults(key, key.firstMs + day, key.firstMs + 31 * day);
  expect(faults.length).toBeGreaterThan(30 * 2);
  expect(faults.length).toBeLessThan(30 * 6);
  for (const { name, station, fromMs, toMs } of faults) {
    expect(faultKinds.some((kind) => kind.name === name && kind.at.test(station))).toBe(true);
    expect(fromMs).toBeGreaterThanOrEqual(key.firstMs + day);
    expect(toMs).toBeGreaterThan(fromMs);
  }
});

test("the same seed has the same faults, wherever the looking begins", () => {
  const all = occasionalFaults(key, key.firstMs + day, key.firstMs + 9 * day);
  const later = occasionalFaults(key, key.firstMs + 5 * day, key.firstMs + 9 * day);
  expect(later).toEqual(all.filter((f) => f.fromMs >= key.firstMs + 5 * day));
  expect(occasionalFaults({ ...key, seed: 8 }, key.firstMs + day, key.firstMs + 9 * day)).not.toEqual(all);
});

test("the demo's first day holds a handful of faults, one that matters in its first hour", () => {
  const faults = firstDayFaults.map((words) => {
    const read = readFault(words, key.firstMs);
    if (!read.ok) throw new Error(read.mistake);
    return read.fault;
  });
  expect(faults.length).toBeLessThanOrEqual(5);
  for (const fault of faults) expect(fault.toMs).toBeLessThan(key.firstMs + day);
  expect(faults.some((f) => f.name === "cold-metal" && f.toMs < key.firstMs + 3_600_000)).toBe(true);
});
