import { expect, test } from "vitest";
import { columnFrom, constantColumn } from "../../../../spc/model/column.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { type Grouped, singles, subgroups } from "../../../../spc/model/grouped.ts";
import type { StudyData } from "../../../../spc/study/request.ts";
import { type StudyOptions, usualOptions } from "../../../../spc/study/request.ts";
import { study } from "../../../../spc/study/study.ts";
import { normals } from "../../../property/spc/seeded.ts";
import { valueAt } from "../../ledger/leaves.ts";
import { publishedRecords, seriesColumn } from "../../ledger/published.ts";

const examples = publishedRecords("nist_examples.json");

function example<T>(id: string, path: string): T {
  return valueAt(examples.find((record) => record.id === id)?.body, path) as T;
}

function ofValues(
  values: Grouped,
  form: Extract<StudyData, { kind: "values" }>["form"],
  options: Partial<StudyOptions> = {},
) {
  const data: StudyData = { kind: "values", form, values, parts: null, nominal: null };
  return study({ ...usualOptions, ...options, rows: values.values.length, data });
}

function ofCounts(
  counts: readonly number[],
  sizes: readonly number[] | null,
  form: Extract<StudyData, { kind: "counts" }>["form"],
) {
  const counted = {
    counts: columnFrom(counts),
    sizes: sizes === null ? constantColumn(1, counts.length) : columnFrom(sizes),
    anew: [],
  };
  return study({
    ...usualOptions,
    rows: counts.length,
    data: { kind: "counts", form, counted, sized: sizes !== null },
  });
}

function signalled(result: ReturnType<typeof study>, chart = 0): number[] {
  const { signals } = result.charts[chart]!;
  return Array.from({ length: signals.length }, (_, place) => place).filter((place) => signals.any(place));
}

test("NIST 6.3.2.2 individuals: centre and limits as published, no signal, and ten points are said to be few", () => {
  const result = ofValues(singles(example("nist-6.3.2.2-individuals", "input.values")), "individuals");
  const { chart } = result.charts[0]!;
  expect(chart.centres.at(0)).toBeCloseTo(50.81, 10);
  // NIST divides by 1.128, so its limits lie 0.0017 further out.
  expect(Math.abs(chart.upper.at(0)! - 55.8041)).toBeLessThan(0.002);
  expect(Math.abs(chart.lower.at(0)! - 45.8159)).toBeLessThan(0.002);
  expect(signalled(result)).toEqual([]);
  expect(result.cautions.map(({ code }) => code)).toEqual(expect.arrayContaining(["few-points", "few-values"]));
  expect(result.sigmaWithin).toBeCloseTo(chart.sigmas.at(0)!, 12);
});

test("NIST 6.3.2.3 CUSUM: the 14th point signals, and the change is placed at the 13th", () => {
  const id = "nist-6.3.2.3-cusum";
  const values = singles(example(id, "input.values"));
  const [target, sigma] = [example<number>(id, "input.target"), example<number>(id, "input.sigma_xbar")];
  const k = example<number>(id, "input.k") / sigma;
  const h = example<number>(id, "input.h") / sigma;
  const result = ofValues(values, "cusum", { centre: target, sigma, k, h });
  expect(result.charts.map(({ chart }) => chart.kind).slice(0, 2)).toEqual(["cusum-upper", "cusum-lower"]);
  expect(signalled(result)[0]! + 1).toBe(example(id, "recomputed.first_signal_index_1based"));
  expect(result.changePoints[0]?.index).toBe(
    example<number>(id, "recomputed.shift_start_estimate_last_zero_plus_1") - 1,
  );
  expect(result.changePoints[0]?.set).toContain(12);
});

test("NIST 6.3.2.4 EWMA: the statistic as published, the limits as they settle, no signal", () => {
  const id = "nist-6.3.2.4-ewma";
  const result = ofValues(singles(example(id, "input.values")), "ewma", {
    centre: example(id, "input.start"),
    sigma: example(id, "input.sigma"),
    lambda: example(id, "input.lam"),
    width: example(id, "input.L"),
  });
  const { chart } = result.charts[0]!;
  example<number[]>(id, "recomputed.ewma").forEach((value, place) => {
    expect(chart.values.at(place)).toBeCloseTo(value, 9);
  });
  expect(chart.upper.at(19)).toBeCloseTo(52.5884, 3);
  expect(signalled(result)).toEqual([]);
});

test("NIST 6.3.3.2 proportions: wafers 15 and 23 lie above, and capability is asked of no counts", () => {
  const counts = example<number[]>("nist-6.3.3.2-proportions", "input.defectives");
  const result = ofCounts(
    counts,
    counts.map(() => 50),
    "p",
  );
  const { chart } = result.charts[0]!;
  const beyond = counts.map((_, place) => place).filter((place) => verdictAt(chart, place) !== "within");
  expect(beyond.map((place) => place + 1)).toEqual(example("nist-6.3.3.2-proportions", "recomputed.above_ucl_1based"));
  expect(result.diagnostics.andersonDarling).toBeNull();
  expect(result.capability).toBeNull();
});

test("NIST Lew: lag 1 as certified lies outside its band, and the study says what that does to an individuals chart", () => {
  const result = ofValues(singles(seriesColumn("strd_lew", "y")), "individuals");
  expect(result.diagnostics.lag1).toBeCloseTo(-0.307304800605679, 12);
  const found = result.cautions.find(({ code }) => code === "autocorrelated");
  expect(found?.text).toContain("-0.31");
});

test("NIST thickness, subgroups of five: the last day lies above, so Cp is refused and Pp given", () => {
  const thickness = seriesColumn("nist_ccxbar", "thickness");
  const day = seriesColumn("nist_ccxbar", "day");
  const lists = [...new Set(day)].map((one) => thickness.filter((_, i) => day[i] === one));
  const result = ofValues(subgroups(lists), "xbar-s", { lower: 20, upper: 28, target: 24 });
  expect(result.charts.map(({ chart }) => chart.kind)).toEqual(["average", "standard-deviation"]);
  // The last day lies above, as in the published signals of this series.
  expect(signalled(result)).toContain(19);
  expect(result.capability?.cp).toMatchObject({ refused: "not-stable" });
  expect(result.capability?.pp).toMatchObject({ confidence: 0.95 });
  expect(result.cautions.map(({ code }) => code)).toEqual(expect.arrayContaining(["not-stable"]));
});

test("annual flow of the Nile: the level changes at the 29th value, as the change-point literature has it", () => {
  const nile = publishedRecords("changepoint.json").find(({ id }) => id === "nile")!;
  const result = ofValues(singles(valueAt(nile.body, "data") as number[]), "individuals");
  expect(result.changePoints).toHaveLength(1);
  expect(result.changePoints[0]!.index).toBe(valueAt(nile.body, "published.last_obs_before_change"));
  expect(result.changePoints[0]!.set.map((index) => index)).toEqual(valueAt(nile.body, "recomputed.hpd95"));
});

test("none asked for: the form follows from what was read, with its reason", () => {
  const noise = seriesColumn("nist_randn", "y");
  expect(ofValues(singles(noise), null)).toMatchObject({
    form: "individuals",
    advice: expect.stringContaining("one value"),
  });
  const lists = Array.from({ length: 100 }, (_, i) => noise.slice(5 * i, 5 * i + 5));
  expect(ofValues(subgroups(lists), null).form).toBe("xbar-s");
  const nested = lists.map((list, i) => list.map((value) => value + 2 * noise[i]!));
  expect(ofValues(subgroups(nested), null).form).toBe("three-way");
  let level = 0;
  const leaning = noise.map((value) => {
    level = 0.6 * level + value;
    return level;
  });
  expect(ofValues(singles(leaning), null)).toMatchObject({
    form: "batch-mean",
    advice: expect.stringContaining("leans"),
  });
  expect(ofValues(singles(leaning.slice(0, 120)), null).form).toBe("residual");
  expect(ofCounts([3, 4, 2, 5, 1], null, null).form).toBe("c");
  expect(ofCounts([3, 4, 2, 5, 1], [50, 50, 50, 50, 50], null).form).toBe("p");
  expect(ofCounts([3, 4, 2, 5, 1], [1, 2, 1, 2, 1], null).form).toBe("u");
});

const parts = ["A", "B", "C"];
const nominalOf = [10, 20, 30];
/** Deviations of three parts made in turn. */
const draw = normals(7);
const deviations = Array.from({ length: 60 }, () => Number((0.5 * draw() + 0.1).toFixed(3)));

function ofParts(form: "nominal" | "z-w" | null, options: Partial<StudyOptions> = {}) {
  const values = singles(deviations.map((away, i) => nominalOf[i % 3]! + away));
  const nominal = columnFrom(deviations.map((_, i) => nominalOf[i % 3]!));
  const data: StudyData = {
    kind: "values",
    form,
    values,
    parts: deviations.map((_, i) => parts[i % 3]!),
    nominal,
  };
  return study({ ...usualOptions, ...options, rows: 60, data });
}

test("several parts are looked at as deviations from nominal, not by the order of the parts", () => {
  const result = ofParts("nominal");
  const alone = ofValues(singles(deviations), "individuals");
  expect(result.sigmaOverall).toBeCloseTo(alone.sigmaOverall!, 10);
  expect(result.sigmaWithin).toBeCloseTo(alone.sigmaWithin!, 10);
  expect(result.diagnostics.lag1).toBeCloseTo(alone.diagnostics.lag1!, 8);
  expect(result.diagnostics.ljungBox!.p).toBeCloseTo(alone.diagnostics.ljungBox!.p, 8);
  expect(result.diagnostics.andersonDarling!.a2).toBeCloseTo(alone.diagnostics.andersonDarling!.a2, 8);
  expect(result.diagnostics.distinctValues).toBe(alone.diagnostics.distinctValues);
});

test("a specification of several parts is one of deviations, which a caution says; parts of unlike sigma have none", () => {
  const spec = { rules: [], width: 4, lower: -2, upper: 2, target: 0 };
  const result = ofParts("nominal", spec);
  const alone = ofValues(singles(deviations), "individuals", spec);
  for (const key of ["cp", "cpk", "pp", "ppk", "cpm"] as const) {
    const [one, other] = [result.capability![key], alone.capability![key]];
    if ("refused" in one || "refused" in other) throw new Error(`${key} is refused`);
    expect(one.estimate).toBeCloseTo(other.estimate, 8);
  }
  expect(result.cautions.map(({ code }) => code)).toContain("of-deviations");
  expect(ofParts("z-w", spec).capability?.ppk).toMatchObject({ refused: "unequal-parts" });
});

test("standardised parts say that their sigmas were estimated, not given", () => {
  expect(ofParts("z-w").charts.map(({ chart }) => chart.provenance.estimator)).toEqual([
    "moving-range",
    "moving-range",
  ]);
});

test("a point beyond a limit denies stability, whatever rules were asked for", () => {
  const values = Array.from({ length: 60 }, (_, i) => 10 + Math.sin(i * 12.9898));
  values[30] = 30;
  const result = ofValues(singles(values), "individuals", { rules: [], lower: 0, upper: 20 });
  expect(verdictAt(result.charts[0]!.chart, 30)).toBe("above");
  expect(result.capability?.cpk).toMatchObject({ refused: "not-stable" });
});

test("sigma within is that of the chart's own estimator for every form, also where limits rest on the overall one", () => {
  const lists = Array.from({ length: 30 }, (_, i) =>
    Array.from({ length: 4 }, (_none, j) => Math.sin(i * 1.7) + Math.sin((4 * i + j) * 12.9898)),
  );
  const within = ofValues(subgroups(lists), "xbar-s").sigmaWithin!;
  for (const form of ["xbar-s", "three-way", "moving-average", "ewma", "cusum"] as const) {
    const result = ofValues(subgroups(lists), form, { basis: "overall" });
    expect(result.charts[0]!.chart.provenance.estimator).toBe("overall");
    expect(result.sigmaWithin).toBeCloseTo(within, 12);
  }
});
