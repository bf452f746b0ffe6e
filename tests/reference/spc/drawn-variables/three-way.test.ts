import { expect, test } from "vitest";
import { drawThreeWay } from "../../../../spc/drawn/three-way.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { subgroups } from "../../../../spc/model/grouped.ts";
import { betweenWithin } from "../../../../spc/sigma/between-within.ts";
import { publishedRecords } from "../../ledger/published.ts";
import { reference } from "../../ledger/reference.ts";
import { relative } from "../../ledger/tolerance.ts";

type Trials = Readonly<Record<string, readonly (readonly number[])[]>>;
const data = publishedRecords("gauge_rr_aiag.json").find(({ id }) => id === "data")!.body as Trials;
const records = reference("gauge_rr_aiag.json", ["data"]);
const anova = records.find(({ id }) => id === "anova")!;
const parts = Array.from({ length: 10 }, (_, part) => part);
const readings = (appraiser: string, part: number) => data[appraiser]!.map((trial) => trial[part]!);

function split(lists: readonly (readonly number[])[]) {
  const found = betweenWithin(subgroups(lists), usualDesign({ from: 0, to: lists.length }));
  if (!found.ok) throw new Error(found.refusal.detail);
  return found.value;
}

test("AIAG gauge study (MSA 4th ed., data from transcriptions, analysis of variance in R): mean squares between and within parts", () => {
  const byPart = split(parts.map((part) => ["A", "B", "C"].flatMap((appraiser) => readings(appraiser, part))));
  const close = relative(1e-8);
  anova.check("MS.part", byPart.ratio * byPart.within, close);
  anova.check("SS.part", byPart.ratio * byPart.within * 9, close);
  anova.check("SS.total", byPart.ratio * byPart.within * 9 + byPart.within * 80, close);
  expect(byPart.betweenRaw).toBeCloseTo((byPart.ratio - 1) * (byPart.within / 9), 12);
  const byCell = split(parts.flatMap((part) => ["A", "B", "C"].map((appraiser) => readings(appraiser, part))));
  anova.check("MS.equipment", byCell.within, close);
  anova.check("SS.equipment", byCell.within * 60, close);
});

test("AIAG gauge study: the variance of the interaction comes out below zero, and is said before it is cut to none", () => {
  // What parts and appraisers explain is taken off; what is left between cells is the interaction, with 18 df.
  const all = ["A", "B", "C"].flatMap((appraiser) => parts.flatMap((part) => readings(appraiser, part)));
  const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const cells = ["A", "B", "C"].flatMap((appraiser) =>
    parts.map((part) => {
      const ofAppraiser = mean(parts.flatMap((other) => readings(appraiser, other)));
      const ofPart = mean(["A", "B", "C"].flatMap((other) => readings(other, part)));
      return readings(appraiser, part).map((value) => value - ofAppraiser - ofPart + mean(all));
    }),
  );
  const { within, ratio, between, betweenRaw } = split(cells);
  anova.check("SS.interaction", ratio * within * 29, relative(1e-7));
  anova.check("MS.interaction", (ratio * within * 29) / 18, relative(1e-7));
  expect(betweenRaw).toBeLessThan(0);
  expect(between).toBe(0);
  const { cautions } = drawThreeWay(subgroups(cells), usualDesign({ from: 0, to: cells.length }));
  expect(cautions.map(({ code }) => code)).toEqual(["between-within"]);
  expect(cautions[0]!.text).toContain("taken as none");
});
