import { expect, test } from "vitest";
import { drawMewma } from "../../../../spc/drawn/mewma.ts";
import { drawT2 } from "../../../../spc/drawn/t2.ts";
import { decompose } from "../../../../spc/drawn/vector-decompose.ts";
import { estimateVectors } from "../../../../spc/drawn/vector-estimate.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { singleVectors } from "../../../../spc/model/vectors.ts";
import { normals } from "../../../property/spc/seeded.ts";

const next = normals(11);
/** Two components that go together closely. */
const pairs = Array.from({ length: 40 }, () => {
  const common = next();
  return [20 + common, 300 + 10 * (common + 0.2 * next())];
});
const design = usualDesign({ from: 0, to: 40 });

test("a vector without a component keeps its place, is not judged, and is told", () => {
  const vectors = pairs.map((pair, i) => (i === 7 ? [pair[0]!, null] : pair));
  for (const draw of [drawT2, drawMewma]) {
    const { charts, cautions } = draw(singleVectors(2, vectors), design);
    expect(charts[0]!.values.length).toBe(40);
    expect(charts[0]!.values.at(7)).toBeNull();
    expect(verdictAt(charts[0]!, 7)).toBe("not-evaluable");
    expect(verdictAt(charts[0]!, 8)).not.toBe("not-evaluable");
    expect(cautions.map(({ code }) => code)).toEqual(["missing-component"]);
    expect(charts[0]!.provenance.n).toBe(39);
    expect([charts[0]!.centres.at(0), charts[0]!.lower.at(0)]).toEqual([null, null]);
  }
});

test("what is unusual only together is seen, and taken apart: each alone is as usual, given the other neither is", () => {
  const data = singleVectors(2, [...pairs, [21.5, 285]]);
  const chart = drawT2(data, design).charts[0]!;
  expect(verdictAt(chart, 40)).toBe("above");
  const estimate = estimateVectors(data, design);
  if (!estimate.ok) throw new Error(estimate.refusal.detail);
  const taken = decompose(data, 40, estimate.value)!;
  expect(taken.t2).toBe(chart.values.at(40));
  for (const { stands } of taken.parts) expect(stands).toEqual({ unconditional: false, conditional: true });
});

test("one component out by itself is named", () => {
  const data = singleVectors(2, [...pairs, [20, 420]]);
  const estimate = estimateVectors(data, design);
  if (!estimate.ok) throw new Error(estimate.refusal.detail);
  const parts = decompose(data, 40, estimate.value)!.parts;
  expect(parts.map(({ stands }) => stands.unconditional)).toEqual([false, true]);
  expect(decompose(singleVectors(2, [[null, 1]]), 0, estimate.value)).toBeNull();
  expect(() => decompose(data, 40, estimate.value, 0)).toThrow(RangeError);
  const known = {
    mean: [20, 300],
    covariance: [
      [1, 10],
      [10, 104],
    ],
  };
  const frozen = estimateVectors(data, design, "ordinary", known);
  if (!frozen.ok) throw new Error(frozen.refusal.detail);
  expect(decompose(data, 40, frozen.value)!.limits.conditional).toBeCloseTo(3.8414588, 6);
});

test("where there is no covariance, the places stay", () => {
  for (const draw of [drawT2, drawMewma]) {
    const chart = draw(singleVectors(2, pairs.slice(0, 2)), usualDesign({ from: 0, to: 2 })).charts[0]!;
    expect(chart.refusal?.code).toBe("too-few");
    expect(chart.values.length).toBe(2);
    expect(verdictAt(chart, 1)).toBe("not-evaluable");
  }
});

test("successive differences see a step that the ordinary covariance swallows, and say that their limit is none exactly", () => {
  const stepped = pairs.map(([a, b], i) => (i < 20 ? [a!, b!] : [a! + 5, b! + 5]));
  const data = singleVectors(2, stepped);
  const largest = (spread: "ordinary" | "successive"): number => {
    const { charts, cautions } = drawT2(data, design, { spread });
    expect(cautions.map(({ code }) => code)).toEqual(spread === "successive" ? ["approximate-limit"] : []);
    return Math.max(...stepped.map((_, place) => charts[0]!.values.at(place)! / charts[0]!.upper.at(place)!));
  };
  expect(largest("successive")).toBeGreaterThan(1);
  expect(largest("ordinary")).toBeLessThan(1);
});

test("options that cannot be meant are defects", () => {
  const data = singleVectors(2, pairs);
  for (const alpha of [0, 1, Number.NaN]) expect(() => drawT2(data, design, { alpha })).toThrow(RangeError);
  for (const lambda of [0, 1.1, Number.NaN]) expect(() => drawMewma(data, design, { lambda })).toThrow(RangeError);
  for (const h of [0, Number.NaN, Number.POSITIVE_INFINITY])
    expect(() => drawMewma(data, design, { h })).toThrow(RangeError);
  expect(drawMewma(data, design, { h: 9 }).charts[0]!.upper.at(3)).toBe(9);
});
