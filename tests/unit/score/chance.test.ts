import { expect, test } from "vitest";
import { randomAt } from "../../../simulator/random.ts";
import {
  type ChanceRow,
  chanceRatio,
  classOf,
  expectedOf,
  meanVariance,
  weightedVariance,
} from "../../score/compare/chance.ts";
import { lawOf, lawSums, pooledSums } from "../../score/compare/process-laws.ts";

/** A normal process of mean 10 and sd 2 whose neighbours lean on each other. */
function series(seed: number, n: number, phi = 0): number[] {
  const random = randomAt(seed, "made", 0, "chart");
  let state = random.normal();
  return Array.from({ length: n }, () => {
    const now = state;
    state = phi * state + Math.sqrt(1 - phi * phi) * random.normal();
    return 10 + 2 * now;
  });
}

function rowOf(seed: number, values: readonly number[], lower: number, upper: number): ChanceRow {
  const observed = values.filter((value) => value < lower || value > upper).length;
  return {
    ...{ seed, characteristic: `C-${seed}`, law: "made", rule: "beyond-limit", points: values.length, observed },
    ...{ begun: observed, baseline: 1000, lower, upper, runs: 1, mean: 10, lambda: 1, toldOnceIn: 370.4 },
    counted: 0,
  };
}

function days(n: number): number[] {
  return Array.from({ length: n }, (_, i) => i / 20);
}

const law = lawOf(lawSums(series(1, 60_000), 0, days(60_000)));

test("a made chart gives as many points beyond its limits as the two tails of its normal say", () => {
  // Limits that were set wrong: the rate given the limits is what counts, not the nominal one.
  const rows = Array.from({ length: 40 }, (_, at) => rowOf(at, series(100 + at, 4_000), 5.2, 14));
  expect(expectedOf(rows[0]!, { ...law, sd: 2 })).toBeCloseTo(4_000 * (0.0081975 + 0.0227501), 1);
  const { ratio, interval, observed } = chanceRatio(rows, () => ({ ...law, sd: 2 }));
  expect(observed).toBeGreaterThan(4_000);
  expect(ratio).toBeGreaterThan(0.95);
  expect(ratio).toBeLessThan(1.05);
  const [low, high] = interval as readonly [number, number];
  // Of the interval's own standard errors, three: a fixed seed may be one of the twenty that fall outside two.
  expect(Math.abs((ratio as number) - 1)).toBeLessThan((3 * (high - low)) / (2 * 1.96));
  expect(high - low).toBeLessThan(0.1);
});

test("a process that gives more than its limits were set for is seen, and what was told beside it", () => {
  const rows = Array.from({ length: 40 }, (_, at) => rowOf(at, series(200 + at, 4_000), 4.6, 15.4));
  const { toldRatio, interval } = chanceRatio(rows, () => ({ ...law, sd: 1.8 }));
  expect((interval as readonly number[])[0]).toBeGreaterThan(1);
  expect(toldRatio).toBeGreaterThan(2);
});

test("all points of one chart are one piece of evidence: the interval follows the scatter from chart to chart", () => {
  const alike = [0, 1, 2, 3].map((at) => ({ ...rowOf(at, [], 4, 16), points: 100_000, observed: 270 }));
  const uneven = alike.map((row, at) => ({ ...row, observed: at % 2 === 0 ? 0 : 540 }));
  const width = (rows: readonly ChanceRow[]): number => {
    const [low, high] = chanceRatio(rows, () => ({ ...law, sd: 2 })).interval as readonly [number, number];
    return high - low;
  };
  expect(width(uneven)).toBeGreaterThan(50 * width(alike));
});

test("a weighted mean of an AR(1) process varies as Schmid's formula says", () => {
  const [phi, lambda] = [0.4, 0.2];
  const acf = Array.from({ length: 200 }, (_, k) => phi ** (k + 1));
  const memory = phi * (1 - lambda);
  expect(weightedVariance(lambda, acf)).toBeCloseTo(((lambda / (2 - lambda)) * (1 + memory)) / (1 - memory), 12);
  expect(weightedVariance(1, acf)).toBe(1);
});

test("laws of several plants are pooled about their own means", () => {
  const parts = [series(5, 8_000, 0.4), series(6, 8_000, 0.4).map((value) => value + 50)];
  const { sd, acf, skewness, excess } = lawOf(
    pooledSums(parts.map((values) => lawSums(values, 0, days(values.length)))),
  );
  expect(sd).toBeCloseTo(2, 1);
  expect(acf[0]).toBeCloseTo(0.4, 1);
  expect(Math.abs(skewness)).toBeLessThan(0.1);
  expect(Math.abs(excess)).toBeLessThan(0.15);
});

test("what is skewed, coarse or leans too much on its neighbours stands on a line of its own", () => {
  const normal = { n: 1e5, sd: 1, skewness: 0, excess: 0, acf: [0.4], step: 0.1, drift: 0 };
  expect(classOf(normal)).toBe("near-normal");
  expect(classOf({ ...normal, skewness: 0.6 })).toBe("skewed");
  expect(classOf({ ...normal, excess: 1 })).toBe("skewed");
  expect(classOf({ ...normal, step: 1 })).toBe("quantised");
  expect(classOf({ ...normal, acf: [0.8] })).toBe("autocorrelated");
  expect(classOf({ ...normal, drift: -0.7 })).toBe("drifting");
  // Few values look skewed by luck alone.
  expect(classOf({ ...normal, n: 60, skewness: 0.5 })).toBe("near-normal");
});

test("a mean that moves with the weather is told from one that stays", () => {
  const [still, leaning] = [series(7, 1_000), series(8, 1_000, 0.4)];
  const drift = (values: readonly number[]): number => lawOf(lawSums(values, 0, days(1_000))).drift;
  expect([drift(still), drift(leaning)]).toEqual([0, 0]);
  // A sigma in 37 days.
  expect(drift(still.map((value, i) => value + (2 * i) / 20 / 37))).toBeCloseTo(1, 0);
});

test("averages of neighbours that lean on each other vary more than those of others", () => {
  expect(meanVariance(4, [])).toBe(0.25);
  // 1/4 (1 + 2 (3/4 0.2 + 2/4 0.1 + 1/4 0)), by hand.
  expect(meanVariance(4, [0.2, 0.1])).toBeCloseTo(0.35, 12);
});

test("of what is no normal the rate given the limits is counted on other days", () => {
  const row = { ...rowOf(1, series(9, 100), 4, 16), counted: 0.02 };
  expect(expectedOf(row, { ...law, n: 1e5, skewness: 1 })).toBe(2);
});
