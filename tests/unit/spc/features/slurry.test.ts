import { expect, test } from "vitest";
import { featureCatalogue } from "../../../../spc/features/catalogue.ts";
import type { RunTrace } from "../../../../spc/model/run.ts";
import type { Sample } from "../../../../spc/model/sample.ts";
import { codeOf, numberOf, readingsOf, runOf, startMs } from "./traces.ts";

const feature = (id: string, settings = {}) => featureCatalogue[id]!(settings);
const one = (role: string, h: number, value: number): Sample => ({
  series: role,
  tMs: startMs + h * 3_600_000,
  value,
  quality: "good",
});

const hour = (cup: number, sinceH: number | null, t = 25): RunTrace => ({
  run: runOf(3600),
  samples: {
    viscosity: [one("viscosity", 0.5, cup)],
    "slurry-t": readingsOf("slurry-t", 0, 3600, 60_000, (tS) => t + 0.1 * Math.sin(tS)),
    "top-up": [],
  },
  everyMs: { "slurry-t": 60_000 },
  ambientPressureHpa: 1013.25,
  before: { "top-up": sinceH === null ? [] : [one("top-up", 0.5 - sinceH, 1)] },
});

test("a saw of evaporation and top-ups leaves a level line", () => {
  const levels = [0.6, 3, 6, 9.5].map((h) => numberOf(feature("slurry.saw_free").extract(hour(24 + 0.6 * h, h))));
  for (const level of levels) expect(level).toBeCloseTo(24, 9);
  expect(codeOf(feature("slurry.saw_free").extract(hour(24, null)))).toBe("no-reading");
});

test("a top-up after the cup has not thinned it yet", () => {
  const trace = hour(27, 5);
  const later = { ...trace, samples: { ...trace.samples, "top-up": [one("top-up", 0.75, 1)] } };
  expect(numberOf(feature("slurry.saw_free").extract(later))).toBeCloseTo(24, 9);
});

test("a cold slurry's cup is brought to 25 Cel", () => {
  expect(numberOf(feature("slurry.viscosity25").extract(hour(24, 1, 25)))).toBeCloseTo(24, 1);
  expect(numberOf(feature("slurry.viscosity25").extract(hour(24, 1, 20)))).toBeCloseTo(24 * Math.exp(-0.1), 1);
});

test("a short drain shows once the tank's saw is taken out of the coat", () => {
  const coat = (cup: number, weight: number): RunTrace => ({
    run: runOf(60),
    samples: { coat: [one("coat", 0.005, weight)], viscosity: [] },
    everyMs: {},
    ambientPressureHpa: 1013.25,
    before: { viscosity: [one("viscosity", -20, 99), one("viscosity", -8.2, cup), one("viscosity", -1, 99)] },
  });
  const of = (cup: number, weight: number): number => numberOf(feature("coat.saw_free").extract(coat(cup, weight)));
  // Coats of a healthy drain at 21 and 27 s differ by 2.1 g/dm2 as weighed, and not at all without the saw.
  expect(of(27, 9 + 0.35 * 3)).toBeCloseTo(9, 9);
  expect(of(21, 9 - 0.35 * 3)).toBeCloseTo(9, 9);
  expect(of(21, 9 - 0.35 * 3 + 1.4)).toBeCloseTo(10.4, 9);
  const dipped = {
    ...coat(27, 9),
    run: { ...runOf(60), context: { dipped: new Date(startMs - 72_000_000).toISOString() } },
  };
  expect(numberOf(feature("coat.saw_free").extract(dipped))).toBeCloseTo(9 - 0.35 * 75, 9);
  // Two tanks have two recipes: 18 s is as usual for the thin one.
  const thin = { ...coat(18.5, 9), run: { ...runOf(60), context: { "recipe-cup": "18" } } };
  expect(numberOf(feature("coat.saw_free").extract(thin))).toBeCloseTo(9 - 0.35 * 0.5, 9);
  const none = { ...coat(27, 9), before: { viscosity: [one("viscosity", -20, 24)] } };
  expect(codeOf(feature("coat.saw_free").extract(none))).toBe("no-reading");
});

test("wet pick-up, and over the area that the dip's events told", () => {
  const dip = (bare: number, wet: number, area: string): RunTrace => ({
    run: { ...runOf(90, [["drain", 30, 90]]), context: { area } },
    samples: { "bare-weight": [one("bare-weight", 0, bare)], "wet-weight": [one("wet-weight", 0.02, wet)] },
    everyMs: {},
    ambientPressureHpa: 1013.25,
  });
  expect(numberOf(feature("dip.wet_pickup").extract(dip(400, 2200, "120")))).toBe(1800);
  expect(numberOf(feature("dip.wet_per_area").extract(dip(400, 2200, "120")))).toBe(15);
  expect(codeOf(feature("dip.wet_per_area").extract(dip(400, 2200, "")))).toBe("not-positive");
  expect(codeOf(feature("dip.wet_pickup").extract(dip(400, 300, "120")))).toBe("weights-swapped");
  expect(numberOf(feature("dip.drain_time").extract(dip(400, 2200, "120")))).toBe(60);
});
