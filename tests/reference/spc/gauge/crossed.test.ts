import { expect, test } from "vitest";
import { rangeComponents, rangeFactors, studyRanges } from "../../../../spc/gauge/average-range.ts";
import type { Balanced } from "../../../../spc/gauge/balanced.ts";
import { crossedAnova } from "../../../../spc/gauge/crossed-anova.ts";
import { crossedComponents } from "../../../../spc/gauge/crossed-components.ts";
import {
  distinctCategories,
  gaugeSpreads,
  percentContribution,
  percentStudy,
} from "../../../../spc/gauge/gauge-shares.ts";
import type { Outcome } from "../../../../spc/model/outcome.ts";
import { reference } from "../../ledger/reference.ts";
import { printed, relative } from "../../ledger/tolerance.ts";

const records = reference("gauge_rr_aiag.json", ["A", "B", "C"]);
const recordOf = (id: string) => records.find((record) => record.id === id)!;
const resultOf = <T>(outcome: Outcome<T>): T => {
  if (!outcome.ok) throw new Error(outcome.refusal.detail);
  return outcome.value;
};
const source = "AIAG MSA 4th ed., gauge study of ten parts [data from memory and seven transcriptions]";

/** The file goes from appraiser to trial to part, the study from part to appraiser to trial. */
const byAppraiser = ["A", "B", "C"].map((name) => recordOf("data").get<readonly (readonly number[])[]>(name));
const study: Balanced = Array.from({ length: 10 }, (_, part) =>
  byAppraiser.map((trials) => trials.map((row) => row[part]!)),
);
const anova = resultOf(crossedAnova(study));
const components = crossedComponents(anova, 0.05);

test(`${source}: analysis of variance (base R anova)`, () => {
  const record = recordOf("anova");
  const lines = {
    appraiser: anova.appraiser,
    part: anova.part,
    interaction: anova.interaction,
    equipment: anova.equipment,
  };
  record.checkAll(
    "df",
    Object.values(lines).map(({ df }) => df),
    relative(0),
  );
  for (const [name, line] of Object.entries(lines)) {
    record.check(`SS.${name}`, line.ss, printed(8));
    record.check(`MS.${name}`, line.ms, printed(9));
  }
  record.check("SS.total", anova.totalSs, printed(8));
  record.check("F_interaction", anova.interactionRatio!.f, relative(1e-11));
  record.check("p_interaction", anova.interactionRatio!.p, relative(1e-10));
  record.check("F_vs_interaction.appraiser", anova.appraiserRatio!.f, relative(1e-11));
  record.check("F_vs_interaction.part", anova.partRatio!.f, relative(1e-11));
  record.check("F_vs_equipment.appraiser", anova.appraiser.ms / anova.equipment.ms, printed(5));
  record.check("F_vs_equipment.part", anova.part.ms / anova.equipment.ms, printed(5));
});

test(`${source}: components with the interaction pooled, p over 0.05`, () => {
  const record = recordOf("pooled_model");
  const { equipment, appraiser, part, interaction, interactionPooled } = components;
  expect(interactionPooled).toBe(true);
  record.check("var.equipment", equipment.used, relative(1e-11));
  record.check("var.appraiser", appraiser.used, relative(1e-11));
  record.check("var.part", part.used, relative(1e-11));
  const spreads = gaugeSpreads(equipment.used, appraiser.used + interaction.used, part.used);
  record.check("EV", spreads.equipment, relative(1e-11));
  record.check("AV", spreads.appraiser, relative(1e-11));
  record.check("GRR", spreads.gauge, relative(1e-11));
  record.check("PV", spreads.part, relative(1e-11));
  record.check("TV", spreads.total, relative(1e-11));
  const named = { EV: spreads.equipment, AV: spreads.appraiser, GRR: spreads.gauge, PV: spreads.part };
  for (const [name, spread] of Object.entries(named)) {
    record.check(`pct_study.${name}`, resultOf(percentStudy(spread, spreads.total)), relative(1e-10));
    record.check(`pct_contribution.${name}`, resultOf(percentContribution(spread, spreads.total)), relative(1e-10));
  }
  const categories = resultOf(distinctCategories(spreads.part, spreads.gauge));
  record.check("ndc_raw", categories.raw, relative(1e-10));
  record.check("ndc", categories.count, relative(0));
  // The manual's own decimals stand in words beside the record.
  expect(spreads.equipment).toBeCloseTo(0.199933, 6);
  expect(spreads.appraiser).toBeCloseTo(0.226838, 5);
  expect(spreads.gauge).toBeCloseTo(0.302373, 5);
  expect(spreads.part).toBeCloseTo(1.042327, 6);
});

test(`${source}: a variance below zero is used as zero and told as it came out`, () => {
  const record = recordOf("full_model");
  const full = crossedComponents(anova, 1);
  expect(full.interactionPooled).toBe(false);
  record.check("interaction_variance_raw", full.interaction.raw, relative(1e-11));
  record.check("interaction_variance_used", full.interaction.used, relative(0));
  expect(components.interaction).toEqual(full.interaction);
});

test(`${source}: averages and ranges, with the factors as printed and as exact`, () => {
  const record = recordOf("average_range");
  const ranges = resultOf(studyRanges(study));
  record.check("R_bar", ranges.rBar, relative(1e-11));
  record.check("X_diff", ranges.xDiff, relative(1e-11));
  record.check("R_part", ranges.rPart, relative(1e-11));
  const factors = rangeFactors(ranges.sizes);
  record.check("K1", factors.k1, printed(4));
  record.check("K2", factors.k2, printed(4));
  record.check("K3", factors.k3, printed(4));

  // The record was worked out with the factors rounded to the four decimals that the manual prints.
  const round = (value: number, decimals: number): number => Number(value.toFixed(decimals));
  const asPrinted = { k1: round(factors.k1, 4), k2: round(factors.k2, 4), k3: round(factors.k3, 4) };
  const spreadsOf = (of: Parameters<typeof rangeComponents>[0]) => {
    const { equipment, appraiser, part } = rangeComponents(of, asPrinted);
    return gaugeSpreads(equipment.used, appraiser.used, part.used);
  };
  const spreads = spreadsOf(ranges);
  const named = { EV: spreads.equipment, AV: spreads.appraiser, GRR: spreads.gauge, PV: spreads.part };
  for (const [name, spread] of Object.entries(named)) {
    record.check(name, spread, relative(1e-10));
    record.check(`pct.${name}`, resultOf(percentStudy(spread, spreads.total)), relative(1e-10));
  }
  record.check("TV", spreads.total, relative(1e-10));
  const categories = resultOf(distinctCategories(spreads.part, spreads.gauge, 1.41));
  record.check("ndc_raw", categories.raw, relative(1e-10));
  record.check("ndc", categories.count, relative(0));

  // The manual rounds on its way: mean range and means to four decimals, the range of the parts to three.
  const means = ranges.appraiserMeans.map((value) => round(value, 4));
  const xDiff = Math.max(...means) - Math.min(...means);
  const byHand = spreadsOf({ ...ranges, rBar: round(ranges.rBar, 4), xDiff, rPart: round(ranges.rPart, 3) });
  record.check("published.EV", byHand.equipment, printed(5));
  record.check("published.AV", byHand.appraiser, printed(5));
  record.check("published.GRR", byHand.gauge, printed(5));
  record.check("published.PV", byHand.part, printed(5));
  record.check("published.TV", byHand.total, printed(4));
  record.checkAll(
    "published.pct",
    [byHand.equipment, byHand.appraiser, byHand.gauge, byHand.part].map((spread) =>
      resultOf(percentStudy(spread, byHand.total)),
    ),
    printed(2),
  );
  record.check("published.ndc", resultOf(distinctCategories(byHand.part, byHand.gauge, 1.41)).count, relative(0));
});
