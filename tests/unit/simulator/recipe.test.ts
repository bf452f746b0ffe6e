import { expect, test } from "vitest";
import { type Fault, faultPlan } from "../../../simulator/faults.ts";
import { humidityRatio, relativeHumidity } from "../../../simulator/humid-air.ts";
import { ambientPressureHpa } from "../../../simulator/plant-layout.ts";
import { dryerRuns } from "../../../simulator/runs/dryer-load.ts";
import { flaskRuns } from "../../../simulator/runs/flask.ts";
import { services } from "../../../simulator/runs/services.ts";
import { startOf } from "../../../simulator/schedule.ts";
import { shake } from "../../../simulator/stations/shake.ts";

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

test("runs keep their order and never overlap", () => {
  const { schedule } = flasks("CT-F1");
  for (let number = -500; number < 500; number += 1) {
    expect(startOf(schedule, number + 1) - startOf(schedule, number)).toBeGreaterThan(61_000);
  }
});
