import { expect, test } from "vitest";
import type { Fault } from "../../../simulator/faults.ts";
import { plant } from "../../../simulator/plant.ts";
import type { Source } from "../../../simulator/plant-layout.ts";

const key = { seed: 7, firstMs: Date.UTC(2026, 10, 24, 5) };
const hourMs = 3_600_000;
const minuteMs = 60_000;

interface Read {
  readonly series: string;
  readonly t: number;
  readonly value?: number | null;
  readonly values?: readonly (number | null)[];
  readonly quality?: string;
}

function readsOf(faults: readonly Fault[], source: Source, series: string, fromMs: number, toMs: number): Read[] {
  const works = plant(key, faults);
  const reads: Read[] = [];
  for (let t = fromMs; t < toMs; t += minuteMs) {
    for (const { body } of works.messages(source, t, t + minuteMs)) reads.push(...((body["readings"] ?? []) as Read[]));
  }
  return reads.filter((one) => one.series === series);
}

test("a broken wire sends no value, and says that it is none, however many readings go at once", () => {
  const fromMs = key.firstMs + hourMs;
  const broken = (station: string): Fault => ({ name: "wire-open", station, fromMs, toMs: fromMs + hourMs });
  const single = readsOf([broken("DR-3/return-rh")], "GW-DR", "DR-3/return-rh", fromMs, fromMs + 5 * minuteMs);
  expect(single).toHaveLength(10);
  for (const one of single) expect(one).toMatchObject({ value: null, quality: "bad" });
  const blocks = readsOf([broken("AO-1/t1")], "GW-AO", "AO-1/t1", fromMs, fromMs + 5 * minuteMs);
  for (const { value, values, quality } of blocks) {
    if (values === undefined) expect({ value, quality }).toEqual({ value: null, quality: "bad" });
    else expect(values.every((one) => one === null)).toBe(true);
  }
  const well = readsOf([], "GW-DR", "DR-3/return-rh", fromMs, fromMs + 5 * minuteMs);
  for (const one of well) expect(one.quality).toBeUndefined();
});

test("an oven at its mechanical limit is held there, and its thermocouples go on living", () => {
  const fromMs = key.firstMs + 3 * hourMs;
  const runaway: Fault = { name: "runaway", station: "AO-1", fromMs, toMs: fromMs + 20 * minuteMs };
  for (const role of ["t1", "t2", "t3"]) {
    const values = readsOf([runaway], "GW-AO", `AO-1/${role}`, fromMs + 12 * minuteMs, fromMs + 20 * minuteMs).flatMap(
      (one) => one.values ?? [one.value ?? null],
    );
    expect(values.length).toBeGreaterThan(400);
    expect(Math.min(...(values as number[]))).toBeGreaterThan(70);
    expect(Math.max(...(values as number[]))).toBeLessThan(75);
    const longest = values.reduce(
      ({ most, now }, value, i) => {
        const length = i > 0 && value === values[i - 1] ? now + 1 : 1;
        return { most: Math.max(most, length), now: length };
      },
      { most: 0, now: 0 },
    ).most;
    expect(longest).toBeLessThan(20);
  }
});
