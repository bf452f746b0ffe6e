import fc from "fast-check";
import { expect, test } from "vitest";
import { columnFrom, constantColumn } from "../../../../spc/model/column.ts";
import type { DrawnChart } from "../../../../spc/model/drawn-chart.ts";
import { ruleIds } from "../../../../spc/rules/rule-ids.ts";
import { signalsOf } from "../../../../spc/rules/signals-of.ts";
import { plainSignals } from "./plain-signals.ts";

type Cell = number | null;
interface Drawing {
  readonly values: readonly Cell[];
  readonly centre: number | readonly Cell[];
  readonly sigma: number | readonly Cell[];
  readonly lower: Cell | readonly Cell[];
  readonly upper: Cell | readonly Cell[];
  readonly anew?: readonly number[];
  readonly patterns?: DrawnChart["patterns"];
}

function drawn({ values, centre, sigma, lower, upper, anew = [], patterns = "all" }: Drawing): DrawnChart {
  const column = (of: Cell | readonly Cell[]) =>
    typeof of === "number" || of === null ? constantColumn(of, values.length) : columnFrom(of);
  return {
    kind: "average",
    provenance: { estimator: "given", from: 0, to: values.length, n: values.length, k: 3 },
    refusal: null,
    values: columnFrom(values),
    centres: column(centre),
    sigmas: column(sigma),
    lower: column(lower),
    upper: column(upper),
    patterns,
    anew,
  };
}

function fast(chart: DrawnChart, restarts: readonly number[] = []) {
  const signals = signalsOf(chart, ruleIds, restarts);
  return Array.from({ length: chart.values.length }, (_, place) => {
    const found = signals.at(place);
    expect(signals.any(place)).toBe(found.length > 0);
    return found;
  });
}

/** In halves of sigma, so that lines are met and neighbours are equal; long stretches of one kind make patterns. */
const halves = fc.integer({ min: -7, max: 7 }).map((half) => half / 2);
const stretch = fc.oneof(
  {
    weight: 4,
    arbitrary: fc.array(fc.oneof(halves, fc.double({ min: -3.5, max: 3.5, noNaN: true })), { maxLength: 20 }),
  },
  fc.array(
    fc.integer({ min: 1, max: 5 }).map((half) => half / 2),
    { maxLength: 20 },
  ),
  fc.array(fc.double({ min: -0.99, max: 0.99, noNaN: true }), { maxLength: 30 }),
  fc.array(fc.constantFrom(1.5, -1.5, 2.5, -2.5, 1), { maxLength: 20 }),
  fc.nat(20).map((n) => Array.from({ length: n }, (_, i) => i / 8 - 1)),
  fc.nat(30).map((n) => Array.from({ length: n }, (_, i) => (i % 2 === 0 ? 0.25 : -0.25) * (1 + (i % 3)))),
  fc.nat(5).map((n) => Array.from({ length: n }, () => null)),
);
const series: fc.Arbitrary<Cell[]> = fc.array(stretch, { maxLength: 8 }).map((parts) => parts.flat() as Cell[]);
const scale = fc.constantFrom({ c: 0, s: 1 }, { c: 750, s: 4 }, { c: -3, s: 0.1 }, { c: 1e7 + 0.1, s: 1e-3 });

test("on one set of lines the fast twin says what the live rules say: ties, gaps and breaks included", () => {
  fc.assert(
    fc.property(series, scale, fc.array(fc.nat(100), { maxLength: 3 }), (z, { c, s }, anew) => {
      const values = z.map((one) => (one === null ? null : c + one * s));
      const chart = drawn({
        values,
        centre: c,
        sigma: s,
        lower: c - 3 * s,
        upper: c + 3 * s,
        anew: anew.sort((a, b) => a - b),
      });
      expect(fast(chart)).toEqual(plainSignals(chart, ruleIds));
    }),
    { numRuns: 300 },
  );
});

test("the series that are made complete every rule, so that the twins are compared on all eight", () => {
  const made = fc.sample(series, { numRuns: 300, seed: 1 });
  const seen = new Set(made.flatMap((z) => fast(unit(z)).flatMap((all) => all.map(({ rule }) => rule))));
  expect([...seen].sort()).toEqual([...ruleIds].sort());
});

test("where every place has lines of its own, or only one limit, or none, it does so too", () => {
  const line = fc.record({
    s: fc.constantFrom(0.5, 1, 1, 1, 2),
    lacks: fc.constantFrom("", "", "", "", "lower", "both", "sigma"),
  });
  fc.assert(
    fc.property(series, scale, fc.infiniteStream(line), fc.boolean(), (z, { c, s }, lines, mixed) => {
      const of = z.map(() => lines.next().value!);
      const sigma = of.map((one) => one.s * s);
      const chart = drawn({
        values: z.map((one, i) => (one === null ? null : c + one * sigma[i]!)),
        centre: c,
        sigma: of.map((one, i) => (one.lacks === "sigma" ? null : sigma[i]!)),
        lower: of.map((one, i) => (one.lacks === "lower" || one.lacks === "both" ? null : c - 3 * sigma[i]!)),
        upper: mixed ? c + 3 * s : of.map((one, i) => (one.lacks === "both" ? null : c + 3 * sigma[i]!)),
      });
      expect(fast(chart)).toEqual(plainSignals(chart, ruleIds));
    }),
    { numRuns: 300 },
  );
});

test("hostile columns give the same in both, and never a signal at a place without a value", () => {
  const wild = fc.oneof(
    fc.double(),
    fc.constantFrom<Cell>(null, Number.NaN, Infinity, -0, 1e308, -1e308, 5e-324, 1e300, 1e-300, 1e7 + 0.1),
  );
  fc.assert(
    fc.property(fc.array(wild, { maxLength: 40 }), wild, wild, wild, wild, (values, centre, sigma, lower, upper) => {
      const cell = (value: Cell): Cell => (value !== null && Number.isFinite(value) ? value : null);
      const chart = drawn({
        values,
        centre: cell(centre) as number,
        sigma: cell(sigma) as number,
        lower: cell(lower),
        upper: cell(upper),
      });
      const found = fast(chart);
      expect(found).toEqual(plainSignals(chart, ruleIds));
      values.forEach((value, place) => {
        if (cell(value) === null) expect(found[place]).toEqual([]);
        for (const { members } of found[place]!) for (const one of members) expect(cell(values[one]!)).not.toBeNull();
      });
    }),
    { numRuns: 300 },
  );
});

const unit = (values: readonly Cell[], patterns: DrawnChart["patterns"] = "all") =>
  drawn({ values, centre: 0, sigma: 1, lower: -3, upper: 3, patterns });

test("turned upside down, every rule fires at the same places on the other side", () => {
  const other = { above: "below", below: "above", both: "both" } as const;
  fc.assert(
    fc.property(series, (z) => {
      const down = fast(unit(z.map((one) => (one === null ? null : -one))));
      const turned = fast(unit(z)).map((all) => all.map((one) => ({ ...one, side: other[one.side] })));
      expect(down).toEqual(turned);
    }),
  );
});

test("read backwards, six-in-one-direction marks the same stretches the other way", () => {
  fc.assert(
    fc.property(series, (z) => {
      const stretches = (values: readonly Cell[]) =>
        fast(unit(values)).flatMap((all) => all.filter(({ rule }) => rule === "six-in-one-direction"));
      const back = stretches([...z].reverse())
        .map(({ side, members }) => ({ side, members: members.map((one) => z.length - 1 - one).reverse() }))
        .reverse();
      const forth = stretches(z).map(({ side, members }) => ({ side: side === "above" ? "below" : "above", members }));
      expect(back).toEqual(forth);
    }),
  );
});

test("under a + b x, with lines moved alike, the same places are marked", () => {
  fc.assert(
    fc.property(series, fc.constantFrom(-8, 0, 3, 1024), fc.constantFrom(0.25, 1, 2, 4), (z, a, b) => {
      const moved = drawn({
        values: z.map((one) => (one === null ? null : a + b * one)),
        centre: a,
        sigma: b,
        lower: a - 3 * b,
        upper: a + 3 * b,
      });
      // Numbers closer than the last bits of a are equal once it is added, so only coarse ones can be compared.
      fc.pre(z.every((one) => one === null || Number.isInteger(one * 8)));
      expect(fast(moved)).toEqual(fast(unit(z)));
    }),
  );
});

test("a correction before a place starts every pattern anew, as a break does", () => {
  fc.assert(
    fc.property(series, fc.nat(100), (z, cut) => {
      expect(fast(unit(z), [cut])).toEqual(fast({ ...unit(z), anew: [cut] }));
      const apart = [...fast(unit(z.slice(0, cut))), ...fast(unit(z.slice(cut)))];
      expect(fast(unit(z), [cut]).map((all) => all.map(({ rule }) => rule))).toEqual(
        apart.map((all) => all.map(({ rule }) => rule)),
      );
    }),
  );
});

test("a chart is marked only by the rules that its statistic takes", () => {
  fc.assert(
    fc.property(series, (z) => {
      const all = fast(unit(z));
      const keep = (n: number) => all.map((some) => some.filter(({ rule }) => ruleIds.indexOf(rule) < n));
      expect(fast(unit(z, "first-four"))).toEqual(keep(4));
      expect(fast(unit(z, "limit"))).toEqual(keep(1));
    }),
  );
});
