import { expect, test } from "vitest";
import { drawT2 } from "../../../../spc/drawn/t2.ts";
import type { VectorEstimate } from "../../../../spc/drawn/vector-estimate.ts";
import { estimateVectors } from "../../../../spc/drawn/vector-estimate.ts";
import { t2Limit } from "../../../../spc/drawn/vector-limits.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import type { Vectors } from "../../../../spc/model/vectors.ts";
import { singleVectors, vectorSubgroups } from "../../../../spc/model/vectors.ts";
import { normals } from "../../../property/spc/seeded.ts";
import { seriesColumn } from "../../ledger/published.ts";
import { reference } from "../../ledger/reference.ts";
import { printed, relative } from "../../ledger/tolerance.ts";

const exact = relative(1e-9);
const records = reference("hotelling_t2.json", ["*.alpha", "*.m", "*.p"]);
const record = (id: string) => records.find((one) => one.id === id)!;
const numbers = ["p", "n", "m"].map((id) => record(id).get<number>(""));
const [p, n, m] = numbers as [number, number, number];

const y1 = seriesColumn("ryan_t2", "y1");
const y2 = seriesColumn("ryan_t2", "y2");
const subgroup = seriesColumn("ryan_t2", "subgroup");
const lists = Array.from({ length: Math.max(...subgroup) }, (_, i) =>
  y1.flatMap((value, r) => (subgroup[r] === i + 1 ? [[value, y2[r]!]] : [])),
);
const data = vectorSubgroups(2, lists);
const design = usualDesign({ from: 0, to: lists.length });

function estimateOf(vectors: Vectors): VectorEstimate {
  const found = estimateVectors(vectors, usualDesign({ from: 0, to: vectors.starts.length - 1 }));
  if (!found.ok) throw new Error(found.refusal.detail);
  return found.value;
}

test("hotelling_t2.json T2 of 20 subgroups of 4: NIST public-domain library file T2CC.DAT, Ryan p. 220", () => {
  const estimate = estimateOf(data);
  record("p").check("", data.dimension, exact);
  record("n").check("", estimate.vectors / estimate.subgroups, exact);
  record("m").check("", estimate.subgroups, exact);
  estimate.mean.forEach((mean, j) => {
    record("mean").check(`${j}`, mean, exact);
  });
  estimate.correlation.forEach((row, i) => {
    const covariances = row.map((r, j) => r * estimate.deviations[i]! * estimate.deviations[j]!);
    // Printed with twelve digits.
    record("S_pooled").checkAll(`${i}`, covariances, relative(5e-12));
  });
  const chart = drawT2(data, design).charts[0]!;
  const values = lists.map((_, place) => chart.values.at(place)!);
  expect(values).toHaveLength(record("T2").get<readonly number[]>("").length);
  values.forEach((value, place) => {
    record("T2").check(`${place}`, value, printed(4));
  });
  expect(chart.lower.at(0)).toBeNull();
  const beyond = values.flatMap((_, place) => (verdictAt(chart, place) === "above" ? [place + 1] : []));
  expect(beyond).toEqual([10, 20]);
});

test("hotelling_t2.json limits of subgroups, Alt 1985, against R 4.2.2", () => {
  const rows = record("limits").get<readonly { alpha: number }[]>("");
  rows.forEach(({ alpha }, i) => {
    const upper = (options: Parameters<typeof drawT2>[2]): number =>
      drawT2(data, design, { alpha, ...options }).charts[0]!.upper.at(0)!;
    record("limits").check(`${i}.phase1`, upper({}), exact);
    record("limits").check(`${i}.phase2`, upper({ phase: 2 }), exact);
    const known = {
      mean: [60, 18],
      covariance: [
        [220, 100],
        [100, 56],
      ],
    };
    record("limits").check(`${i}.chi2`, upper({ known }), exact);
    const later = drawT2(data, usualDesign({ from: 0, to: 19 }), { alpha }).charts[0]!;
    const estimate = { ...estimateOf(data), vectors: 76, subgroups: 19, df: 57 };
    expect(later.upper.at(0)).toBeCloseTo(t2Limit(estimate, p, n, 1, alpha), 10);
    expect(later.upper.at(19)).toBeCloseTo(t2Limit(estimate, p, n, 2, alpha), 10);
  });
  expect(rows).toHaveLength(3);
  expect(m).toBe(20);
});

test("hotelling_t2.json limits of single vectors, Tracy, Young & Mason 1992, against R 4.2.2", () => {
  const list = record("individuals_limits");
  const rows = list.get<readonly { m: number; p: number; alpha: number }[]>("");
  rows.forEach((row, i) => {
    const next = normals(i);
    const vectors = singleVectors(
      row.p,
      Array.from({ length: row.m + 1 }, () => Array.from({ length: row.p }, next)),
    );
    const chart = drawT2(vectors, usualDesign({ from: 0, to: row.m }), { alpha: row.alpha }).charts[0]!;
    list.check(`${i}.phase1_beta`, chart.upper.at(0)!, exact);
    list.check(`${i}.phase2_F`, chart.upper.at(row.m)!, exact);
  });
  expect(rows).toHaveLength(9);
});
