import { expect, test } from "vitest";
import { nestedAnova, nestedSums } from "../../../../spc/gauge/nested-anova.ts";
import { pooledRepeatability } from "../../../../spc/gauge/pooled-repeatability.ts";
import { reference } from "../../ledger/reference.ts";
import { printed, relative } from "../../ledger/tolerance.ts";
import { significant } from "../physics/significant.ts";

const records = reference("nist_examples.json", ["input", "published.*.decimals"]);
const recordOf = (id: string) => records.find((record) => record.id === id)!;

const furnace = recordOf("nist-3.5.1.4-furnace-nested-anova");
test(`${furnace.title}: from its sums of squares, for the readings are not in this folder`, () => {
  const [outer, inner, repeats] = /(\d+) runs x (\d+) zones x (\d+)/
    .exec(furnace.get<string>("input.structure"))!
    .slice(1)
    .map(Number) as [number, number, number];
  const [runs, zones, wafers] = furnace.get<readonly [number, number, number]>("recomputed.SS");
  const anova = nestedAnova({ outer: runs, inner: zones, repeats: wafers }, { outer, inner, repeats });
  const lines = [anova.outer, anova.inner, anova.repeats];
  const components = [anova.components.outer, anova.components.inner, anova.components.repeats].map(({ used }) => used);
  const total = components.reduce((sum, variance) => sum + variance, 0);
  const ratios = [anova.outerRatio!, anova.innerRatio!];
  const found: Record<string, readonly number[]> = {
    df: lines.map(({ df }) => df),
    MS: lines.map(({ ms }) => ms),
    F: ratios.map(({ f }) => f),
    variance_components: components,
    percent: components.map((variance) => (100 * variance) / total),
    sd: components.map(Math.sqrt),
  };
  const published = furnace.get<readonly { field: string; decimals: number }[]>("published");
  published.forEach(({ field, decimals }, i) => {
    // Mean squares are printed with six digits, whatever their decimals.
    const places = field === "MS" ? significant(6) : printed(decimals);
    if (field in found) furnace.checkAll(`published.${i}.value`, found[field]!, places);
    if (field !== "p") return;
    furnace.check(`published.${i}.value.0`, ratios[0]!.p, significant(1));
    furnace.check(`published.${i}.value.1`, ratios[1]!.p, significant(3));
  });
  furnace.checkAll("recomputed.MS", found["MS"]!, printed(6));
  furnace.check("recomputed.F.0", found["F"]![0]!, relative(1e-8));
  furnace.check("recomputed.F.1", found["F"]![1]!, printed(5));
  furnace.checkAll("recomputed.variance_components", found["variance_components"]!, relative(1e-8));
});

const pooling = recordOf("nist-2.4.4.4-repeatability-pooling");
test(`${pooling.title}: five wafers pooled`, () => {
  const sums = pooling.get<readonly number[]>("input.SS");
  const dfs = pooling.get<readonly number[]>("input.df");
  const { ss, df, s } = pooledRepeatability(sums.map((one, i) => ({ ss: one, df: dfs[i]! })));
  const found: Record<string, number> = { SS_total: ss, df_total: df, s1_pooled: s };
  pooling.get<readonly { field: string; decimals: number }[]>("published").forEach(({ field, decimals }, i) => {
    pooling.check(`published.${i}.value`, found[field]!, printed(decimals));
  });
  pooling.check("recomputed.SS_total", ss, relative(1e-12));
  pooling.check("recomputed.s1", s, relative(1e-12));
});

// Base R 4.2.2: anova(lm(y ~ A/B)) of constructed readings, three runs of four zones of two.
test("sums of squares of a nested study agree with R", () => {
  const readings = [
    24.5, 22.4, 23.7, 23.5, 23.6, 23.8, 22.5, 22.5, 25, 24.1, 23.2, 24.4, 22.2, 22.9, 23, 21.9, 24.7, 24, 23.9, 25.1,
    23.3, 22.8, 23.6, 24.2,
  ];
  const study = [0, 1, 2].map((run) =>
    [0, 1, 2, 3].map((zone) => [readings[8 * run + 2 * zone]!, readings[8 * run + 2 * zone + 1]!]),
  );
  const found = nestedSums(study);
  if (!found.ok) throw new Error(found.refusal.detail);
  const { sums, sizes } = found.value;
  expect(sums.outer).toBeCloseTo(2.08583333333332, 11);
  expect(sums.inner).toBeCloseTo(10.5575, 11);
  expect(sums.repeats).toBeCloseTo(5.49, 11);
  const anova = nestedAnova(sums, sizes);
  expect([anova.outer.df, anova.inner.df, anova.repeats.df]).toEqual([2, 9, 12]);
  expect(anova.innerRatio!.p).toBeCloseTo(0.065439, 6);
});
