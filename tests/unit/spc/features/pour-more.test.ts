import { expect, test } from "vitest";
import { featureCatalogue } from "../../../../spc/features/catalogue.ts";
import type { RunTrace } from "../../../../spc/model/run.ts";
import { modelStartMs, pourRun } from "../../../property/spc/features/plant-models.ts";
import { altered, codeOf, numberOf } from "./traces.ts";

const feature = (id: string, settings = {}) => featureCatalogue[id]!(settings);

test.each([1, 2, 3.5])("a pour interrupted for %d s has that gap", (gapS) => {
  for (const seed of [1, 2, 3, 4, 5]) {
    const { trace } = pourRun(seed, { gapS });
    expect(numberOf(feature("pour.gap").extract(trace))).toBeCloseTo(gapS, 0);
    expect(numberOf(feature("pour.gaps").extract(trace))).toBe(1);
  }
});

test("an even pour has no gap, and its mass and rate", () => {
  for (const seed of [1, 2, 3, 4, 5]) {
    const { trace, truth } = pourRun(seed);
    expect(numberOf(feature("pour.gap").extract(trace))).toBe(0);
    expect(numberOf(feature("pour.mass").extract(trace))).toBeCloseTo(truth["pour.mass"]!, 0);
    expect(numberOf(feature("pour.rate").extract(trace))).toBeCloseTo(truth["pour.rate"]!, 1);
  }
});

test("readings that are missing are no gap, and a hole in which one could hide gives no number", () => {
  const { trace } = pourRun(1);
  const few = altered(trace, "mass", (one, tS) => ([30, 31, 70, 71].includes(Math.round(tS * 10)) ? null : one));
  expect(numberOf(feature("pour.gap").extract(few))).toBe(0);
  const hole = altered(trace, "mass", (one, tS) => (tS > 5 && tS < 5.85 ? null : one));
  expect(codeOf(feature("pour.gap").extract(hole))).toBe("hole-at-crossing");
  const still = altered(trace, "mass", (one, tS) => ({ ...one, value: 0.01 * Math.sin(9 * tS) - 0.001 * tS }));
  expect(codeOf(feature("pour.gap").extract(still))).toBe("no-flow");
});

const analysed = (percents: Readonly<Record<string, number>>, ago = 3_600_000): RunTrace => {
  const { trace } = pourRun(3);
  const tMs = modelStartMs - ago;
  const before = Object.entries(percents).map(([role, value]) => [
    role,
    [{ series: role, tMs, value, quality: "good" as const }],
  ]);
  return { ...trace, before: Object.fromEntries(before) };
};

test("superheat of aluminium: first metal above the liquidus of the heat's own analysis", () => {
  const first = numberOf(feature("pour.T1").extract(pourRun(3).trace));
  // 660.452 - 6.11 x 7 - 0.057 x 49 - 6 x 0.3 by hand: 613.09 Cel.
  const above = numberOf(feature("pour.superheat").extract(analysed({ "chem-si": 7, "chem-mg": 0.3 })));
  expect(above).toBeCloseTo(first - 613.089, 2);
});

test("superheat of iron: the formula is a setting, and a hypereutectic iron has none", () => {
  const grey = { "chem-c": 3.4, "chem-si": 2, "chem-mn": 0.7, "chem-p": 0.05, "chem-s": 0.08 };
  const hot = (trace: RunTrace): RunTrace => altered(trace, "stream", (one) => ({ ...one, value: one.value! + 660 }));
  const of = (formula: number) =>
    numberOf(feature("pour.superheat", { metal: 2, formula }).extract(hot(analysed(grey))));
  // 1195.7 Cel by the first; 1669 - 124 (3.4 + 0.5 + 0.025) = 1182.3 Cel by the second.
  expect(of(2) - of(1)).toBeCloseTo(1195.67 - 1182.3, 2);
  const ductile = hot(analysed({ ...grey, "chem-c": 3.6, "chem-si": 2.6 }));
  expect(codeOf(feature("pour.superheat", { metal: 2 }).extract(ductile))).toBe("hypereutectic");
});

test("where alloys take turns in a furnace, superheat counts from the newest analysis of the alloy that was poured", () => {
  const { trace } = pourRun(3);
  const told = (role: string, hoursAgo: number, value: number, alloy?: string) => ({
    ...{ series: role, tMs: modelStartMs - 3_600_000 * hoursAgo, value, quality: "good" as const },
    ...(alloy === undefined ? {} : { attributes: { alloy } }),
  });
  const before = {
    sampled: [
      ...[told("sampled", 9, 1, "AlSi7Mg0.3"), told("sampled", 5, 1, "AlSi7Mg0.3"), told("sampled", 4.9, 0)],
      ...[told("sampled", 1, 1, "AlSi9Cu3"), told("sampled", 0.9, 0)],
    ],
    "chem-si": [told("chem-si", 8.99, 6.5), told("chem-si", 4.99, 7), told("chem-si", 0.99, 9)],
    "chem-mg": [told("chem-mg", 4.99, 0.3)],
    "chem-cu": [told("chem-cu", 0.99, 3)],
  };
  const poured = (alloy?: string): RunTrace => ({
    ...{ ...trace, before },
    run: { ...trace.run, context: alloy === undefined ? {} : { alloy } },
  });
  const own = feature("pour.superheat", { analysis: 2 });
  const first = numberOf(feature("pour.T1").extract(trace));
  expect(numberOf(own.extract(poured("AlSi7Mg0.3")))).toBeCloseTo(first - 613.089, 2);
  // 660.452 - 6.11 x 9 - 0.057 x 81 - 3.4 x 3 by hand: 590.645 Cel.
  expect(numberOf(own.extract(poured("AlSi9Cu3")))).toBeCloseTo(first - 590.645, 2);
  expect(numberOf(feature("pour.superheat").extract(poured("AlSi7Mg0.3")))).toBeCloseTo(first - 588.845, 2);
  expect(codeOf(own.extract(poured("AlSi6Cu4")))).toBe("no-reading");
  expect(codeOf(own.extract(poured()))).toBe("no-reading");
  expect(() => feature("pour.superheat", { analysis: 3 })).toThrow("pour.superheat knows analysis 1 (any)");
});

test("without an analysis of the heat there is no superheat", () => {
  expect(codeOf(feature("pour.superheat").extract(analysed({})))).toBe("no-reading");
  expect(codeOf(feature("pour.superheat", { metal: 2 }).extract(analysed({ "chem-si": 2 })))).toBe("no-reading");
  expect(() => feature("pour.superheat", { metal: 3 })).toThrow(
    "pour.superheat knows metal 1 (aluminium) and 2 (iron)",
  );
  expect(() => feature("pour.superheat", { formula: 3 })).toThrow("pour.superheat knows formula 1 and 2");
});

test("the vacuum's dip while metal flows", () => {
  const { trace } = pourRun(4);
  expect(Math.abs(numberOf(feature("pour.vacuum_drop").extract(trace)) - 10)).toBeLessThan(5);
  expect(Math.abs(numberOf(feature("pour.vacuum_min").extract(trace)) - 35)).toBeLessThan(2);
});
