import { expect, test } from "vitest";
import { featureCatalogue } from "../../../../spc/features/catalogue.ts";
import { type DryerEvidence, dryerRule } from "../../../../spc/features/dryer-rule.ts";
import { ok, refuse } from "../../../../spc/model/outcome.ts";
import type { RunTrace } from "../../../../spc/model/run.ts";
import { type DryerLoad, dryerRun } from "../../../property/spc/features/plant-models.ts";
import { altered } from "./traces.ts";

const nothing = refuse("role-missing", "no such instrument");
const late = refuse("endpoint-not-reached", "still", { has: 6 });
const coarse = refuse("not-resolvable", "probes err by 2 g/kg");
const evidence = (of: Partial<DryerEvidence>): DryerEvidence => ({
  residual: nothing,
  endpoint: nothing,
  waterRatio: nothing,
  ...of,
});

test("the witness decides where there is one", () => {
  expect(dryerRule(evidence({ residual: ok(0.3) }))).toMatchObject({ says: "within-limit", by: "witness", doubts: [] });
  expect(dryerRule(evidence({ residual: ok(1.5) }))).toMatchObject({ says: "above-limit", by: "witness" });
  expect(dryerRule(evidence({ residual: ok(1.5), endpoint: ok(5) })).doubts).toEqual(["air-took-no-more"]);
  expect(dryerRule(evidence({ residual: ok(0.3), endpoint: late })).doubts).toEqual(["air-still-takes-water"]);
});

test("the air speaks only where its instruments can tell, and no balance disagrees", () => {
  expect(dryerRule(evidence({ endpoint: ok(6) }))).toMatchObject({ says: "air-at-end", by: "air" });
  expect(dryerRule(evidence({ endpoint: ok(6), waterRatio: ok(0.97) }))).toMatchObject({ says: "air-at-end" });
  expect(dryerRule(evidence({ endpoint: late }))).toMatchObject({ says: "still-drying", by: "air" });
  expect(dryerRule(evidence({ endpoint: coarse }))).toMatchObject({
    says: "undecided",
    by: null,
    missing: { endpoint: "not-resolvable" },
  });
  for (const ratio of [0.7, 1.3]) {
    const said = dryerRule(evidence({ endpoint: ok(6), waterRatio: ok(ratio) }));
    expect(said).toMatchObject({ says: "undecided", doubts: ["balance-disagrees"] });
  }
  expect(dryerRule(evidence({}))).toMatchObject({ says: "undecided", missing: { residual: "role-missing" } });
});

const read = (trace: RunTrace): ReturnType<typeof dryerRule> =>
  dryerRule({
    residual: featureCatalogue["dry.residual"]!({}).extract(trace),
    endpoint: featureCatalogue["dry.t_end"]!({}).extract(trace),
    waterRatio: featureCatalogue["dry.water_ratio"]!({}).extract(trace),
  });

test("a healthy load, one of weak air, and one without instruments", () => {
  const weak: DryerLoad = { air: 0.3, rate: 0.7, hours: 6 };
  for (const seed of [1, 2, 3]) {
    const { trace } = dryerRun(seed, { hours: 7.5 });
    expect(read(trace)).toEqual({ says: "within-limit", by: "witness", doubts: [], missing: {} });
    expect(read(dryerRun(seed, weak).trace)).toMatchObject({ says: "above-limit", by: "witness" });
    const blind = altered(trace, "witness", () => null);
    expect(read(blind)).toMatchObject({ says: "air-at-end", by: "air" });
    const coarsePair = { ...blind, run: { ...blind.run, context: { pair: "separate" } } };
    expect(read(coarsePair)).toMatchObject({ says: "undecided", missing: { endpoint: "not-resolvable" } });
    const weakBlind = altered(dryerRun(seed, weak).trace, "witness", () => null);
    expect(read(weakBlind)).toMatchObject({ says: "still-drying", by: "air" });
  }
});
