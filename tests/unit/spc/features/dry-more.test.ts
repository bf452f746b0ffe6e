import { expect, test } from "vitest";
import { featureCatalogue } from "../../../../spc/features/catalogue.ts";
import type { RunTrace } from "../../../../spc/model/run.ts";
import { type DryerLoad, dryerRun } from "../../../property/spc/features/plant-models.ts";
import { altered, codeOf, numberOf } from "./traces.ts";

const feature = (id: string, settings = {}) => featureCatalogue[id]!(settings);
const matched = { pair: 2 };
const good = dryerRun(2, { hours: 6.5 });
const weak: DryerLoad = { air: 0.3, rate: 0.7, hours: 6 };

test("the endpoint comes when the gain has stayed low for half an hour", () => {
  const truth = good.truth["dry.t_end"]!;
  expect(Math.abs(numberOf(feature("dry.t_end", matched).extract(good.trace)) - truth)).toBeLessThan(1.25);
});

test("two probes of 2 percent cannot tell an endpoint, and whoever says nothing has two probes", () => {
  const separate: RunTrace = { ...good.trace, run: { ...good.trace.run, context: {} } };
  expect(codeOf(feature("dry.t_end").extract(separate))).toBe("not-resolvable");
  expect(codeOf(feature("dry.t_end", { pair: 2 }).extract(separate))).toMatch(/^gave/);
  const told: RunTrace = { ...good.trace, run: { ...good.trace.run, context: { pair: "separate" } } };
  expect(codeOf(feature("dry.t_end", { pair: 2 }).extract(told))).toBe("not-resolvable");
  expect(codeOf(feature("dry.water", { pair: 2 }).extract(told))).toBe("not-resolvable");
  expect(codeOf(feature("dry.dw_end").extract(told))).toBe("not-resolvable");
});

test("weak air shows in the gain of one load under a matched pair, and cannot be told under two probes of 2 percent", () => {
  const load = dryerRun(3, weak);
  const healthy = dryerRun(3, { hours: 6 });
  const gain = (trace: RunTrace): number => numberOf(feature("dry.dw_end").extract(trace));
  expect(gain(load.trace) - gain(healthy.trace)).toBeGreaterThan(0.4);
  const separate: RunTrace = { ...load.trace, run: { ...load.trace.run, context: { pair: "separate" } } };
  expect(codeOf(feature("dry.dw_end").extract(separate))).toBe("not-resolvable");
});

test("a load released before its endpoint is censored, with its hours", () => {
  const early = dryerRun(2, { hours: 4 });
  const outcome = feature("dry.t_end", matched).extract(early.trace);
  expect(outcome).toMatchObject({ ok: false, refusal: { code: "endpoint-not-reached", has: 4 } });
});

test("a hole in which the endpoint may lie is no endpoint", () => {
  const end = good.truth["dry.t_end"]! - 0.5;
  const holed = altered(good.trace, "return-rh", (one) => {
    const h = (one.tMs - good.trace.run.startMs) / 3_600_000;
    return h > end - 0.4 && h < end + 0.2 ? null : one;
  });
  expect(codeOf(feature("dry.t_end", matched).extract(holed))).toBe("hole-at-crossing");
});

test("the water balance agrees with what the load lost", () => {
  for (const seed of [1, 2, 3, 4]) {
    const run = dryerRun(seed);
    expect(Math.abs(numberOf(feature("dry.water").extract(run.trace)) / run.truth["dry.water"]! - 1)).toBeLessThan(
      0.05,
    );
    expect(Math.abs(numberOf(feature("dry.water_ratio").extract(run.trace)) - 1)).toBeLessThan(0.08);
  }
});

test("weak airflow is found although the relative humidity looks right", () => {
  const usual = dryerRun(5, { hours: 6 });
  const load = dryerRun(5, weak);
  const of = (id: string, run: typeof usual): number => numberOf(feature(id, {}).extract(run.trace));
  // Nobody would call the humidities different; what the air takes out and what the witness weighs are.
  expect(of("dry.rh_end", load) - of("dry.rh_end", usual)).toBeLessThan(2);
  expect(of("dry.dw_end", load)).toBeGreaterThan(4 * Math.max(0.1, of("dry.dw_end", usual)));
  expect(of("dry.residual", load)).toBeGreaterThan(3 * of("dry.residual", usual));
  expect(of("dry.airflow", load)).toBeLessThan(0.6 * of("dry.airflow", usual));
  expect(codeOf(feature("dry.t_end", matched).extract(load.trace))).toBe("endpoint-not-reached");
});

test("a witness is only as good as its dry weight", () => {
  const { trace } = good;
  expect(Math.abs(numberOf(feature("dry.residual").extract(trace)) - good.truth["dry.residual"]!)).toBeLessThan(0.1);
  const without = altered(trace, "dry-coat", () => null);
  expect(codeOf(feature("dry.residual").extract(without))).toBe("no-reading");
  const heavy = altered(trace, "dry-coat", (one) => ({ ...one, value: 97 }));
  expect(codeOf(feature("dry.residual").extract(heavy))).toBe("weights-swapped");
  const none = altered(trace, "dry-coat", (one) => ({ ...one, value: 0 }));
  expect(codeOf(feature("dry.residual").extract(none))).toBe("not-positive");
});

test("peak mixing ratio and last dew point are those of the air", () => {
  for (const id of ["dry.w_peak", "dry.dew_end", "dry.t_mean", "dry.t_max"]) {
    expect(Math.abs(numberOf(feature(id).extract(good.trace)) - good.truth[id]!)).toBeLessThan(feature(id).plusMinus!);
  }
});

test("above 60 Cel the humidity is IAPWS-IF97's, and no longer refused", () => {
  const hot = altered(
    altered(good.trace, "return-t", (one) => ({ ...one, value: one.value! + 15 })),
    "supply-t",
    (one) => ({
      ...one,
      value: one.value! + 15,
    }),
  );
  expect(codeOf(feature("dry.dw_end").extract(hot))).toMatch(/^gave/);
});
