import { expect, test } from "vitest";
import { rangeComponents, rangeFactors, studyRanges } from "../../../../spc/gauge/average-range.ts";
import { biasStudy } from "../../../../spc/gauge/bias.ts";
import { combinedUncertainty, coverageFactor } from "../../../../spc/gauge/combined-uncertainty.ts";
import { crossedAnova } from "../../../../spc/gauge/crossed-anova.ts";
import { crossedComponents } from "../../../../spc/gauge/crossed-components.ts";
import {
  distinctCategories,
  gaugeSpreads,
  percentStudy,
  percentTolerance,
} from "../../../../spc/gauge/gauge-shares.ts";
import { guardBand, instrumentCaution } from "../../../../spc/gauge/guard-band.ts";
import { biasAt, linearityStudy } from "../../../../spc/gauge/linearity.ts";
import { nestedSums } from "../../../../spc/gauge/nested-anova.ts";
import { pooledRepeatability } from "../../../../spc/gauge/pooled-repeatability.ts";
import { singleStation } from "../../../../spc/gauge/single-station.ts";
import { stabilityStudy } from "../../../../spc/gauge/stability.ts";
import { humidityPerKelvin, rectangular, resolution, triangular } from "../../../../spc/gauge/standard-uncertainty.ts";
import { magnusOverWater } from "../../../../spc/physics/magnus.ts";

const code = (name: string) => ({ ok: false, refusal: { code: name } });
const one = [
  [
    [1, 2],
    [2, 4],
  ],
  [
    [5, 6],
    [7, 7],
  ],
];

test.each([
  ["crossed", crossedAnova],
  ["averages and ranges", studyRanges],
  ["nested", nestedSums],
] as const)("a %s study that is none is refused", (_, study) => {
  expect(study(one)).toMatchObject({ ok: true });
  expect(study([])).toMatchObject(code("too-few"));
  expect(study([[[1, 2]], [[3, 4]]])).toMatchObject(code("too-few"));
  expect(
    study([
      [[1], [2]],
      [[3], [4]],
    ]),
  ).toMatchObject(code("too-few"));
  expect(study([one[0]!, [[1, 2], [3]]])).toMatchObject(code("unbalanced"));
  expect(study([one[0]!, [[1, 2]]])).toMatchObject(code("unbalanced"));
  const equal = one.map((group) => group.map((cell) => cell.map(() => 7)));
  expect(study(equal)).toMatchObject(code("zero-variation"));
  expect(() =>
    study([
      one[0]!,
      [
        [1, 2],
        [3, Number.NaN],
      ],
    ]),
  ).toThrow(RangeError);
});

test("readings too large to be squared are refused", () => {
  const huge = one.map((group) => group.map((cell) => cell.map((x) => 1e300 * x)));
  expect(crossedAnova(huge)).toMatchObject(code("not-a-number"));
  expect(nestedSums(huge)).toMatchObject(code("not-a-number"));
  expect(biasStudy([1e300, -1e300, 1e300], 0, 0.95)).toMatchObject({ ok: false });
  const far = [
    { reference: 1e200, readings: [1, 2] },
    { reference: -1e200, readings: [3, 4] },
  ];
  expect(linearityStudy(far)).toMatchObject(code("not-a-number"));
  expect(
    stabilityStudy([
      [1e300, -1e300],
      [1, 2],
    ]),
  ).toMatchObject(code("not-a-number"));
});

test("an instrument whose readings never differ has no ratio, and no categories but a refusal", () => {
  const same = [
    [
      [1, 1],
      [2, 2],
    ],
    [
      [5, 5],
      [7, 7],
    ],
  ];
  const anova = crossedAnova(same);
  if (!anova.ok) throw new Error("refused");
  expect(anova.value.interactionRatio).toBeNull();
  const { equipment, interactionPooled } = crossedComponents(anova.value, 0.05);
  expect([equipment.used, interactionPooled]).toEqual([0, false]);
  expect(distinctCategories(1, 0)).toMatchObject(code("zero-variation"));
  expect(percentStudy(0, 0)).toMatchObject(code("zero-variation"));
});

test("without pooling the interaction keeps its own variance", () => {
  const crossed = [
    [
      [1, 1.1],
      [9, 9.1],
    ],
    [
      [9, 9.1],
      [1, 1.1],
    ],
  ];
  const anova = crossedAnova(crossed);
  if (!anova.ok) throw new Error("refused");
  const { interaction, interactionPooled, part, appraiser } = crossedComponents(anova.value, 0.05);
  expect(interactionPooled).toBe(false);
  expect(interaction.used).toBeGreaterThan(10);
  expect(part.raw).toBeLessThan(0);
  expect([part.used, appraiser.used]).toEqual([0, 0]);
  expect(() => crossedComponents(anova.value, Number.NaN)).toThrow(RangeError);
});

test("few ranges have their own K1, and an appraiser's variance below zero is zero", () => {
  const factors = rangeFactors({ outer: 3, inner: 2, repeats: 2 });
  // d2*(2, 6) is printed 1.18 (Duncan, from memory).
  expect((1 / factors.k1).toFixed(2)).toBe("1.18");
  const sizes = { outer: 3, inner: 2, repeats: 2 };
  const { appraiser } = rangeComponents({ sizes, rBar: 1, xDiff: 0, rPart: 2 }, factors);
  expect(appraiser.raw).toBeLessThan(0);
  expect(appraiser.used).toBe(0);
});

test("shares of the tolerance", () => {
  expect(percentTolerance(0.5, 30)).toBe(10);
  expect(() => percentTolerance(0.5, 0)).toThrow(RangeError);
  expect(() => gaugeSpreads(-1, 0, 0)).toThrow(RangeError);
  expect(gaugeSpreads(9, 16, 144)).toEqual({ equipment: 3, appraiser: 4, gauge: 5, part: 12, total: 13 });
});

test("bias, linearity and stability refuse what is too little", () => {
  expect(biasStudy([1], 1, 0.95)).toMatchObject(code("too-few"));
  expect(biasStudy([2, 2, 2], 1, 0.95)).toMatchObject(code("zero-variation"));
  expect(() => biasStudy([1, Number.NaN], 1, 0.95)).toThrow(RangeError);
  expect(() => biasStudy([1, 2], Infinity, 0.95)).toThrow(RangeError);
  expect(() => biasStudy([1, 2], 1, 1)).toThrow(RangeError);
  expect(linearityStudy([])).toMatchObject(code("too-few"));
  expect(linearityStudy([{ reference: 1, readings: [1, 2, 3] }])).toMatchObject(code("too-few"));
  const two = [
    { reference: 1, readings: [1] },
    { reference: 2, readings: [2] },
  ];
  expect(linearityStudy(two)).toMatchObject(code("too-few"));
  expect(() => linearityStudy([{ reference: 1, readings: [Number.NaN] }])).toThrow(RangeError);
  expect(stabilityStudy([])).toMatchObject(code("too-few"));
  expect(stabilityStudy([[1, 2]])).toMatchObject(code("too-few"));
  expect(stabilityStudy([[1, 2], [3]])).toMatchObject(code("too-few"));
  expect(() => stabilityStudy([[1, Number.NaN]])).toThrow(RangeError);
  expect(
    stabilityStudy([
      [1, 1],
      [2, 2],
    ]),
  ).toMatchObject({ ok: true, value: { ratio: null } });
});

test("readings without scatter leave a line without a test", () => {
  const straight = linearityStudy(
    [1, 2, 3].map((reference) => ({ reference, readings: [reference + 1, reference + 1] })),
  );
  if (!straight.ok) throw new Error("refused");
  expect(straight.value.intercept).toMatchObject({ estimate: 1, test: null });
  expect(straight.value.r2).toBe(0);
  expect(biasAt(straight.value, 2, 0.95)).toEqual({ bias: 1, lower: 1, upper: 1 });
  expect(() => biasAt(straight.value, Number.NaN, 0.95)).toThrow(RangeError);
  expect(() => biasAt(straight.value, 2, 0)).toThrow(RangeError);
});

test("pooling without groups, or of one that is none, is a defect", () => {
  for (const groups of [[], [{ ss: -1, df: 3 }], [{ ss: 1, df: 0 }], [{ ss: Number.NaN, df: 2 }]]) {
    expect(() => pooledRepeatability(groups)).toThrow(RangeError);
  }
});

test("a single station: Cg 2 and Cgk 1 for readings of 0.01, biased by 0.03, of a tolerance of 0.6", () => {
  const found = singleStation(0.01, 0.03, 0.6);
  expect(found.ok && found.value.cg).toBeCloseTo(2, 12);
  expect(found.ok && found.value.cgk).toBeCloseTo(1, 12);
  const four = singleStation(0.01, 0.03, 0.6, { share: 0.2, spreads: 4 });
  expect(four.ok && four.value.cg).toBeCloseTo(3, 12);
  const off = singleStation(0.01, -0.1, 0.6);
  expect(off.ok && off.value.cgk).toBeLessThan(0);
  expect(singleStation(0, 0.1, 0.6)).toMatchObject(code("zero-variation"));
  expect(singleStation(0, 0.06, 0.6)).toMatchObject(code("zero-variation"));
  for (const bad of [-1, Number.NaN]) expect(() => singleStation(bad, 0, 1)).toThrow(RangeError);
  expect(() => singleStation(1, 0, 0)).toThrow(RangeError);
  expect(() => singleStation(1, 0, 1, { share: 0, spreads: 6 })).toThrow(RangeError);
});

test("uncertainty refuses to combine what is none", () => {
  const sound = { u: 1, sensitivity: 1, df: null };
  expect(combinedUncertainty([sound])).toEqual({ u: 1, df: null });
  expect(combinedUncertainty([{ ...sound, u: 0 }])).toEqual({ u: 0, df: null });
  expect(combinedUncertainty([{ ...sound, u: 1e300, df: 5 }])).toEqual({ u: 1e300, df: 5 });
  expect(combinedUncertainty([sound, { ...sound, sensitivity: -1 }], [{ one: 0, other: 1, r: 1 }]).u).toBe(0);
  for (const bad of [
    { ...sound, u: -1 },
    { ...sound, u: Number.NaN },
    { ...sound, df: 0 },
  ]) {
    expect(() => combinedUncertainty([bad])).toThrow(RangeError);
  }
  expect(() => combinedUncertainty([])).toThrow(RangeError);
  for (const pair of [
    { one: 0, other: 0, r: 0 },
    { one: 0, other: 9, r: 0 },
    { one: 0, other: 1, r: 1.1 },
  ]) {
    expect(() => combinedUncertainty([sound, sound], [pair])).toThrow(RangeError);
  }
  const apart = [0, 1, 2].flatMap((one) => [0, 1, 2].filter((o) => o > one).map((other) => ({ one, other, r: -1 })));
  expect(() => combinedUncertainty([sound, sound, sound], apart)).toThrow(RangeError);
  expect(() => coverageFactor(1, null)).toThrow(RangeError);
  expect(() => coverageFactor(0.95, 0.5)).toThrow(RangeError);
  expect(coverageFactor(0.95, null)).toBeCloseTo(1.959964, 6);
  for (const width of [rectangular, triangular, resolution]) {
    expect(width(0)).toBe(0);
    expect(() => width(-1)).toThrow(RangeError);
    expect(() => width(Number.NaN)).toThrow(RangeError);
  }
});

test("a humidity probe one kelvin too warm at 50 Cel and 20 % reads one percent too low", () => {
  const slope = humidityPerKelvin(50, 20);
  const steps = (20 * (magnusOverWater(50.001) - magnusOverWater(49.999))) / (0.002 * magnusOverWater(50));
  expect(slope).toBeCloseTo(steps, 6);
  expect(slope.toFixed(1)).toBe("1.0");
  expect(() => humidityPerKelvin(Number.NaN, 20)).toThrow(RangeError);
  expect(() => humidityPerKelvin(20, 101)).toThrow(RangeError);
});

test("a guard band lies inside the specification on each side there is", () => {
  expect(guardBand({ lower: 10, upper: 20 }, 1, 2)).toEqual({ ok: true, value: { lower: 12, upper: 18 } });
  expect(guardBand({ upper: 20 }, 1, 2)).toEqual({ ok: true, value: { upper: 18 } });
  expect(guardBand({ lower: 10, upper: 20 }, 2.5, 2)).toMatchObject(code("guard-band-closes"));
  expect(guardBand({}, 1, 2)).toMatchObject(code("no-specification"));
  expect(() => guardBand({ upper: 1 }, Number.NaN, 2)).toThrow(RangeError);
});

test("an instrument of more than 0.3 of the process leaves a capability provisional", () => {
  expect(instrumentCaution(0.3, 1)).toBeNull();
  expect(instrumentCaution(0, 1)).toBeNull();
  expect(instrumentCaution(0.45, 1)).toMatchObject({ code: "instrument-share", text: expect.stringContaining("45 %") });
  expect(() => instrumentCaution(1, 0)).toThrow(RangeError);
  expect(() => instrumentCaution(Number.NaN, 1)).toThrow(RangeError);
});
