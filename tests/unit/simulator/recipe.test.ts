import { expect, test } from "vitest";
import { type Fault, faultPlan } from "../../../simulator/faults.ts";
import { humidityRatio, relativeHumidity } from "../../../simulator/humid-air.ts";
import { ambientPressureHpa } from "../../../simulator/plant-layout.ts";
import { randomAt } from "../../../simulator/random.ts";
import { measured } from "../../../simulator/recorded-run.ts";
import { dryerRuns } from "../../../simulator/runs/dryer-load.ts";
import { flaskRuns } from "../../../simulator/runs/flask.ts";
import { plantModel } from "../../../simulator/runs/model.ts";
import { services } from "../../../simulator/runs/services.ts";
import { startOf } from "../../../simulator/schedule.ts";
import { shake } from "../../../simulator/stations/shake.ts";
import { exactSaturationKelvin, saturationCel } from "../../../simulator/steam-table.ts";

const key = { seed: 4, firstMs: Date.UTC(2026, 10, 24) };

const healthy = {
  motorOut: false,
  lostSync: false,
  looseClamp: 0,
  looseSensor: 0,
  bearing: 0,
  dropouts: 0,
  reversed: false,
};

function flasks(station: string) {
  const none = faultPlan([]);
  return flaskRuns(key, station, services(key, none), none);
}

function average(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / values.length;
}

// WMO form of Magnus at 1013.25 hPa, our own reckoning: 50 Cel and 10 % hold 7.67 g/kg, 20 Cel and 50 % hold 7.24.
test("humid air follows the WMO's formula", () => {
  expect(humidityRatio(10, 50, 1013.25)).toBeCloseTo(7.67, 2);
  expect(humidityRatio(50, 20, 1013.25)).toBeCloseTo(7.24, 2);
  expect(relativeHumidity(humidityRatio(33, 41, ambientPressureHpa), 41, ambientPressureHpa)).toBeCloseTo(33, 10);
});

// Our own simulation of the same recipe in another language: good load 16.2 %, 0.05 g/kg, 0.30 % of the dry coat left
// after six hours; weak air 18.2 %, 0.87 g/kg, 1.52 %.
test.each([
  { name: "good", faults: [] as Fault[], peak: 16.2, gain: 0.05, within: 0.08, residual: [0.2, 0.4] },
  {
    name: "weak air",
    faults: [{ name: "weak-air", station: "DR-1", fromMs: 0, toMs: Number.POSITIVE_INFINITY }],
    peak: 18.2,
    gain: 0.87,
    within: 0.2,
    residual: [0.8, 1.6],
  },
])("a load with $name air dries as the recipe says", ({ faults, peak, gain, within, residual }) => {
  const runs = dryerRuns(key, "DR-1", faultPlan(faults));
  const traces = Array.from({ length: 60 }, (_, number) => runs.trace(number));
  expect(Math.abs(average(traces.map((t) => Math.max(...t.returnRh.slice(0, 760)))) - peak)).toBeLessThan(0.6);
  const sixHours = traces.map((t) => average(t.difference.slice(700, 740)));
  expect(Math.abs(average(sixHours) - gain)).toBeLessThan(within);
  // At the end of the load, half an hour later than the figures above.
  const left = average(traces.map((t) => t.residualPercent));
  expect(left).toBeGreaterThan(residual[0] as number);
  expect(left).toBeLessThan(residual[1] as number);
});

// Our own simulation of the same recipe: RMS over 18 s healthy 0.967 g, one motor out 0.490, loose clamp 1.046.
test.each([
  { name: "healthy", faults: {}, rms: 0.967, within: 0.02 },
  { name: "with one motor out", faults: { motorOut: true }, rms: 0.49, within: 0.02 },
  { name: "with a loose clamp", faults: { looseClamp: 1 }, rms: 1.046, within: 0.05 },
  { name: "with motors out of step", faults: { lostSync: true }, rms: 0.679, within: 0.05 },
  { name: "with a worn bearing", faults: { bearing: 1 }, rms: 1.1, within: 0.05 },
])("a table $name shakes as the recipe says", ({ faults, rms, within }) => {
  const station = "CT-A1";
  const runs = flasks(station);
  const levels = Array.from({ length: 20 }, (_, number) => {
    const shaking = {
      key,
      station,
      number,
      flask: runs.flask(number),
      ...healthy,
      ...faults,
      rateHz: 2048,
      scale: 0.001,
    };
    const squares = Array.from({ length: 15 }, (_, second) => {
      const { z } = shake(shaking, 45 + second);
      const g = Array.from(z, (count) => count * 0.001);
      const mean = average(g);
      // Gravity stands on the vertical axis.
      expect(Math.abs(mean - 1)).toBeLessThan(0.02);
      return average(g.map((v) => (v - mean) ** 2));
    });
    return Math.sqrt(average(squares));
  });
  expect(Math.abs(average(levels) - rms)).toBeLessThan(within);
});

// IAPWS R7-97, table 36: saturation temperature at 0.1, 1 and 10 MPa.
test("steam saturates where the international formulation says", () => {
  expect(exactSaturationKelvin(0.1)).toBeCloseTo(372.755919, 6);
  expect(exactSaturationKelvin(1)).toBeCloseTo(453.035632, 6);
  expect(exactSaturationKelvin(10)).toBeCloseTo(584.149488, 6);
  for (const bar of [0.35, 0.9763, 1.8763, 2.5]) {
    expect(Math.abs(saturationCel(bar) - (exactSaturationKelvin(bar / 10) - 273.15))).toBeLessThan(0.001);
  }
});

// Calculated in the plant's recipe, over 400 shots: plateau 0.8935 +- 0.0146 bar, time above 0.8 bar 6.06 +- 0.11 s.
test("healthy shots spread as calculated in the plant's recipe", () => {
  const press = plantModel(key, []).presses.get("PR-01")!;
  const shots = Array.from({ length: 400 }, (_, n) => measured(press.features(n), randomAt(key.seed, "PR-01", n, "x")));
  const of = (feature: string) => shots.map((shot) => shot.find((one) => one.feature === feature)?.value as number);
  const spread = (values: number[]) => Math.sqrt(average(values.map((v) => (v - average(values)) ** 2)));
  expect(Math.abs(average(of("mold.plateau")) - 0.8935)).toBeLessThan(0.002);
  expect(Math.abs(spread(of("mold.plateau")) - 0.0146)).toBeLessThan(0.0015);
  expect(Math.abs(average(of("mold.t_above")) - 6.06)).toBeLessThan(0.03);
  expect(Math.abs(spread(of("mold.t_above")) - 0.11)).toBeLessThan(0.025);
});

// Calculated in the plant's recipe: highest return humidity, and water left after six hours in % of the dry coat.
test.each([
  ["good", null, 16.2, 0.3],
  ["exhausted desiccant", "desiccant-exhausted", 20.4, 0.52],
  ["heavy coats", "heavy-coat", 16.2, 0.67],
  ["weak air", "weak-air", 18.2, 1.52],
  ["set to 45 Cel", "set-too-cold", 18.1, 0.97],
])("a load (%s) dries as calculated in the plant's recipe", (_, name, peak, left) => {
  const always = { station: "DR-1", fromMs: Number.NEGATIVE_INFINITY, toMs: Number.POSITIVE_INFINITY };
  const runs = dryerRuns(key, "DR-1", faultPlan(name === null ? [] : [{ name, ...always }]));
  const traces = Array.from({ length: 20 }, (_, number) => runs.trace(number));
  const residual = average(traces.map((t) => (100 * (t.waterKg[720] as number)) / t.dryCoatKg));
  expect(Math.abs(average(traces.map((t) => Math.max(...t.returnRh.slice(0, 760)))) - peak)).toBeLessThan(1);
  // Our loads vary in water, rate and air, the recipe's one does not.
  expect(Math.abs(residual / left - 1)).toBeLessThan(0.2);
});

// Calculated in the plant's recipe: positions 1 to 8 of iron ladles fall from 1448 to 1374 Cel, about 10.5 K each.
test("the flasks of an iron ladle grow colder as calculated in the plant's recipe", () => {
  const { ironPours } = plantModel(key, []);
  const ladles = Array.from({ length: 300 }, (_, number) => ironPours.ladle(number));
  const off = (position: number) =>
    average(ladles.map(({ part, pours }) => (pours[position]?.firstCel as number) - part.setCel));
  expect(Math.abs(off(0) - 37)).toBeLessThan(1.5);
  expect(Math.abs((off(0) - off(7)) / 7 - 10.7)).toBeLessThan(0.4);
});

test("runs keep their order and never overlap", () => {
  const { schedule } = flasks("CT-F1");
  for (let number = -500; number < 500; number += 1) {
    expect(startOf(schedule, number + 1) - startOf(schedule, number)).toBeGreaterThan(61_000);
  }
});
