import { expect, test } from "vitest";
import { flagsByChance, pairPrice } from "../../../../spc/price/pair-price.ts";
import { normals } from "../../../property/spc/seeded.ts";

const individuals = { rules: ["beyond-limit", "nine-on-one-side"], basis: "chart" } as const;
const averages = { rules: ["beyond-limit"], basis: "chart", charts: ["average", "standard-deviation"] } as const;
const ewma = { rules: ["beyond-limit"], basis: "chart", charts: ["ewma", "moving-range"] } as const;
const scheme = { runs: 5, sigma: 1, sigmaWithin: 1 };

test("individuals: 216.7 by the values alone (Champ and Woodall 1987, from memory), some 88 with the ranges beside them", () => {
  const { location, pair, method } = pairPrice(individuals);
  expect(location!.toFixed(1)).toBe("216.7");
  expect(pair!).toBeGreaterThan(80);
  expect(pair!).toBeLessThan(95);
  expect(method).toBe("exact");
});

test("averages of five with s: as often as our own simulation of both charts signals", () => {
  const found = pairPrice({ ...averages, scheme });
  expect(found.location!.toFixed(1)).toBe("370.4");
  const next = normals(3);
  const c4 = 0.939985602987966; // sqrt(2/4) gamma(5/2) / gamma(2), by hand: 3 sqrt(pi) / (4 sqrt 2)
  const upper = c4 + 3 * Math.sqrt(1 - c4 * c4);
  const points = 400_000;
  let signals = 0;
  for (let i = 0; i < points; i += 1) {
    const x = [next(), next(), next(), next(), next()];
    const mean = x.reduce((sum, one) => sum + one, 0) / 5;
    const s = Math.sqrt(x.reduce((sum, one) => sum + (one - mean) ** 2, 0) / 4);
    if (Math.abs(mean) > 3 / Math.sqrt(5) || s > upper) signals += 1;
  }
  const expected = points / found.pair!;
  expect(Math.abs(signals - expected)).toBeLessThan(4 * Math.sqrt(expected));
  expect(found.method).toBe("exact");
});

test("an EWMA with lambda 0.2 and width 2.86 lets about 370 points pass, and ranges of single runs add theirs", () => {
  const found = pairPrice({
    ...ewma,
    scheme: { ...scheme, runs: 1, ewma: { lambda: 0.2, width: 2.86, alike: true, share: 0, phi: 0 } },
  });
  expect(found.location!).toBeGreaterThan(340);
  expect(found.location!).toBeLessThan(380);
  expect(found.pair!).toBeLessThan(110);
  expect(found.method).toBe("approximate");
});

test("rules about steps are priced too; those that open no flag cost nothing", () => {
  const steps = { rules: [...individuals.rules, "six-in-one-direction"], basis: "chart" } as const;
  const found = pairPrice(steps);
  expect(found.method).toBe("approximate");
  expect(found.pair!).toBeLessThan(pairPrice(individuals).pair!);
  const silent = { ...steps, diagnostics: { lag1: 0.5, lag1Band: [-0.1, 0.1] } } as const;
  expect(pairPrice(silent)).toEqual(pairPrice({ rules: ["beyond-limit"], basis: "chart" }));
  expect(pairPrice({ rules: [], basis: "chart" })).toMatchObject({ location: null, pair: null });
  expect(flagsByChance(100, { ...averages, scheme })).toBeCloseTo(100 / pairPrice({ ...averages, scheme }).pair!, 12);
});
