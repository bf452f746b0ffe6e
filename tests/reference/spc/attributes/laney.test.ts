import { expect, test } from "vitest";
import { countScores, laneySigma } from "../../../../spc/drawn/count-laney.ts";
import { drawP } from "../../../../spc/drawn/p.ts";
import { drawPPrime } from "../../../../spc/drawn/p-prime.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { counted } from "../../../../spc/model/counted.ts";
import type { DrawnChart } from "../../../../spc/model/drawn-chart.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { reference } from "../../ledger/reference.ts";
import { absolute, either, relative } from "../../ledger/tolerance.ts";

// Limits near 0 and z near 0 are small differences of like numbers.
const exact = either(relative(1e-12), absolute(1e-14));

const records = reference("rare_shortrun_misc.json", ["input"]).filter(({ id }) => id.startsWith("laney-pprime-"));

test.each(records.map((record) => [record.title, record] as const))("%s", (_, record) => {
  const counts = record.get<readonly number[]>("input.defectives");
  const data = counted(counts, record.get<readonly number[]>("input.n"));
  const design = usualDesign({ from: 0, to: counts.length });
  const { charts, cautions } = drawPPrime(data, design);
  const chart = charts[0]!;
  const places = counts.map((_, place) => place);
  record.check("recomputed.p_bar", chart.centres.at(0)!, exact);
  const z = countScores(data, "binomial", chart.centres.at(0)!);
  record.checkAll("recomputed.z", [...z.values], either(relative(1e-11), absolute(1e-13)));
  const sigma = laneySigma(data, design, "binomial", chart.centres.at(0)!);
  record.check("recomputed.sigma_z", sigma.ok ? sigma.value.sigma : Number.NaN, exact);
  record.checkAll(
    "recomputed.ucl",
    places.map((place) => chart.upper.at(place)!),
    exact,
  );
  record.checkAll(
    "recomputed.lcl",
    places.map((place) => chart.lower.at(place)!),
    exact,
  );
  record.checkAll("recomputed.classic_p_signals_1based", beyond(drawP(data, design).charts[0]!), exact);
  record.checkAll("recomputed.laney_signals_1based", beyond(chart), exact);
  expect(chart.kind).toBe("p-prime");
  expect(cautions).toEqual([]);
});

test("two records are there", () => {
  expect(records).toHaveLength(2);
});

function beyond(chart: DrawnChart): readonly number[] {
  const places = Array.from({ length: chart.values.length }, (_, place) => place);
  return places.filter((place) => /above|below/.test(verdictAt(chart, place))).map((place) => place + 1);
}
