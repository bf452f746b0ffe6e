import { expect, test } from "vitest";
import { featureCatalogue } from "../../../../spc/features/catalogue.ts";
import type { Sample } from "../../../../spc/model/sample.ts";
import { type Shot, shotRun } from "../../../property/spc/features/plant-models.ts";
import { altered, codeOf, numberOf, shotTrace } from "./traces.ts";

const feature = (id: string) => featureCatalogue[id]!({});
const of = (id: string, shot: Shot, seeds = 20): number => {
  const values = Array.from({ length: seeds }, (_, seed) =>
    numberOf(feature(id).extract(shotRun(seed + 1, shot).trace)),
  );
  return values.reduce((sum, value) => sum + value / seeds, 0);
};
const pinned = (change: (one: Sample, tS: number) => Sample | null) => altered(shotTrace(), "pressure", change);

test("pressure and time above 0.3 bar follow from the formula of a step", () => {
  // A single exponential step in cross-steam A, B, autoclave and vent, integrated by hand: int of p - 0.3 where above.
  const quiet = shotTrace({ noise: 0 });
  const step = (from: number, to: number, tau: number, s: number): number => to + (from - to) * Math.exp(-s / tau);
  let [area, level] = [0, step(0, 0.12, 0.5, 2)];
  for (const [to, tau, length] of [
    [0.35, 0.6, 4],
    [0.45, 0.6, 4],
    [0.9, 0.7, 7],
    [0, 0.9, 4],
  ] as const) {
    for (let s = 0.0005; s < length; s += 0.001) area += Math.max(0, step(level, to, tau, s) - 0.3) * 0.001;
    level = step(level, to, tau, length);
  }
  expect(numberOf(feature("mold.int").extract(quiet))).toBeCloseTo(area, 2);
});

test("the vent falls from 90 to 10 percent in tau ln 9", () => {
  expect(numberOf(feature("mold.vent").extract(shotTrace({ noise: 0 })))).toBeCloseTo(0.9 * Math.log(9), 1);
});

test("a plugged impulse line lengthens the vent far more than healthy shots vary, and is followed into cooling", () => {
  // A first-order sensor of 1 s behind the chamber: the vent is the slower of the two.
  let seen = 0;
  const plugged = pinned((one) => {
    seen += ((one.value ?? 0) - seen) * (1 - Math.exp(-0.05 / 2));
    return { ...one, value: seen };
  });
  const healthy = numberOf(feature("mold.vent").extract(shotTrace()));
  expect(numberOf(feature("mold.vent").extract(plugged))).toBeGreaterThan(healthy + 1.5);
});

test("air in the steam lowers dTsat by what Dalton's law says, and an offset of the thermometer moves both", () => {
  // 5 and 10 mol % of air: 117.14 Cel of pure steam at 0.8 bar gauge falls to 115.55 and 113.90 Cel, computed for this
  // test's model from the steam table; slightly less at 0.9 bar.
  const clean = of("mold.dTsat", {});
  expect(clean).toBeGreaterThan(-0.6);
  expect(of("mold.dTsat", { airPercent: 5 }) - clean).toBeCloseTo(-1.6, 0);
  expect(of("mold.dTsat", { airPercent: 10 }) - clean).toBeCloseTo(-3.3, 0);
  expect(Math.abs(of("mold.t_zero", { airPercent: 10 }))).toBeLessThan(0.1);
  expect(of("mold.dTsat", { thermometerOffset: 1.5 }) - clean).toBeCloseTo(1.5, 1);
  expect(of("mold.t_zero", { thermometerOffset: 1.5 })).toBeCloseTo(1.5, 1);
});

test("dTsat is refused while the thermometer cannot have followed", () => {
  const slow = featureCatalogue["mold.dTsat"]!({ tau: 2.5 });
  expect(codeOf(slow.extract(shotRun(1).trace))).toBe("thermometer-behind");
});

test("a header that sags shows in its least second, and in the plateau", () => {
  const [healthy, sagging] = [shotRun(3, { headerBar: 4.5 }), shotRun(3, { headerBar: 3.6 })];
  const drop = (id: string): number =>
    numberOf(feature(id).extract(healthy.trace)) - numberOf(feature(id).extract(sagging.trace));
  expect(drop("mold.hdr_min")).toBeCloseTo(0.9, 1);
  expect(drop("mold.plateau")).toBeCloseTo(0.9 * 0.035, 2);
});

test("a stuck transmitter has no spread, whatever it reads, and no plateau", () => {
  const stuck = pinned((one) => ({ ...one, value: 0.9 }));
  expect(numberOf(feature("mold.spread").extract(stuck))).toBe(0);
  expect(numberOf(feature("mold.spread").extract(shotTrace()))).toBeGreaterThan(1.3);
  for (const id of ["mold.plateau", "mold.noise", "mold.int"]) {
    expect(codeOf(feature(id).extract(stuck))).toBe("signal-stuck");
  }
});

test("a zero that drifted stands at eject", () => {
  const drifted = pinned((one) => ({ ...one, value: (one.value ?? 0) + 0.04 }));
  const at = (trace: ReturnType<typeof shotTrace>): number => numberOf(feature("mold.zero").extract(trace));
  expect(at(drifted) - at(shotTrace())).toBeCloseTo(0.04, 6);
  expect(Math.abs(at(shotTrace()))).toBeLessThan(0.01);
});

test("noise is that of the readings, without what is left of the rise", () => {
  expect(numberOf(feature("mold.noise").extract(shotTrace({ noise: 0.006 })))).toBeCloseTo(0.006, 2);
  expect(numberOf(feature("mold.noise").extract(shotTrace({ noise: 0.02 })))).toBeCloseTo(0.02, 2);
});

test("cook time counts all steam steps, whatever the plateau", () => {
  const [usual, low] = [of("mold.cook", {}), of("mold.cook", { headerBar: 3.5 })];
  expect(Math.abs(usual - low)).toBeLessThan(0.2);
  expect(usual).toBeGreaterThan(15);
  expect(usual).toBeLessThan(17);
});
