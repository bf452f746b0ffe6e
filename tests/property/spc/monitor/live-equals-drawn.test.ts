import fc from "fast-check";
import { expect, test } from "vitest";
import { proposeLimits } from "../../../../spc/charts/propose-limits.ts";
import { rationalSubgroups } from "../../../../spc/charts/rational-subgroups.ts";
import { drawAveragesWithS } from "../../../../spc/drawn/averages-s.ts";
import { drawEwma } from "../../../../spc/drawn/ewma.ts";
import type { ChartedAs } from "../../../../spc/model/characteristic.ts";
import { usualEwma } from "../../../../spc/model/characteristic.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import type { DrawnChart } from "../../../../spc/model/drawn-chart.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { subgroups as grouped } from "../../../../spc/model/grouped.ts";
import type { PointRecord } from "../../../../spc/model/journal-entry.ts";
import type { ChartPoint } from "../../../../spc/model/point.ts";
import { advance } from "../../../../spc/model/stage.ts";
import { characteristicMonitor } from "../../../../spc/monitor/characteristic-monitor.ts";
import { silencedRules } from "../../../../spc/rules/applied-rules.ts";
import { ruleIds } from "../../../../spc/rules/rule-ids.ts";
import { signalsOf } from "../../../../spc/rules/signals-of.ts";
import {
  averages,
  charted,
  ewmaOfRuns,
  ewmaOfSubgroups,
  limitsFrom,
  runsOf,
  under,
} from "../../../unit/spc/subgroup-fixtures.ts";
import { normals } from "../seeded.ts";

/** Runs with holes, a level that moves on, and now and then a carry-over from run to run. */
function series(seed: number, count: number, holes: number, carry: number): (number | null)[] {
  const next = normals(seed);
  let level = 0;
  return Array.from({ length: count }, (_, i) => {
    level = carry * level + next();
    const missing = holes > 0 && (i * 7919) % holes === 0;
    return missing ? null : 0.92 + 0.004 * (level + (i > 0.7 * count ? 1.2 : 0));
  });
}

function drawnOf(as: ChartedAs, lists: readonly (readonly number[])[], basis: "chart" | "overall") {
  const design = { ...usualDesign({ from: 0, to: lists.length }), basis };
  const data = grouped(lists);
  return as.chart === "ewma" ? drawEwma(data, design, as.ewma ?? usualEwma) : drawAveragesWithS(data, design);
}

function same(live: ChartPoint, chart: DrawnChart, place: number): void {
  expect(live.value).toBe(chart.values.at(place));
  expect(live.verdict).toBe(verdictAt(chart, place));
  if (live.value === null) return;
  // Lines of single runs were made by another route, which rounds elsewhere.
  for (const line of ["centre", "lower", "upper"] as const) {
    const drawn = { centre: chart.centres, lower: chart.lower, upper: chart.upper }[line].at(place)!;
    expect(Math.abs(live[line]! - drawn)).toBeLessThanOrEqual(1e-15);
  }
}

test.each([
  ["averages with s", averages],
  ["an EWMA of runs", ewmaOfRuns],
  ["an EWMA of subgroups", ewmaOfSubgroups],
] as const)("%s: live points, lines and verdicts are those that are drawn of the same runs", (_, as) => {
  fc.assert(
    fc.property(
      fc.integer(),
      fc.constantFrom(0, 5, 23),
      fc.constantFrom(0, 0.6),
      fc.constantFrom("chart" as const, "overall" as const),
      (seed, holes, carry, basis) => {
        const values = series(seed, 160, holes, carry);
        const characteristic = charted(as);
        const set = limitsFrom(characteristic, values, { basis });
        const { out } = advance(characteristicMonitor(characteristic), under(set, values));
        const live = out.flatMap((one): PointRecord[] => (one.kind === "point" ? [one.point] : []));
        const size = as.subgroup?.runs ?? 1;
        const subgroups = rationalSubgroups(runsOf(values), size, characteristic.everyMs);
        const { charts } = drawnOf(
          as,
          subgroups.map((one) => one.values),
          basis,
        );
        expect(live).toHaveLength(subgroups.length);
        live.forEach((point, place) => {
          same(point.location, charts[0]!, place);
          same(point.spread, charts[1]!, place);
          expect(point.members?.map(({ run }) => run)).toEqual(subgroups[place]!.runs);
        });
      },
    ),
    { numRuns: 60 },
  );
});

test("averages under all eight rules: what fires live, flagged or silenced, is what is drawn", () => {
  let fired = 0;
  fc.assert(
    fc.property(fc.integer(), fc.constantFrom(0, 0.7), (seed, carry) => {
      const values = series(seed, 240, 11, carry);
      const characteristic = charted(averages, ruleIds);
      const set = limitsFrom(characteristic, values);
      const { out } = advance(characteristicMonitor(characteristic), under(set, values));
      const subgroups = rationalSubgroups(runsOf(values), 4, characteristic.everyMs);
      const { charts } = drawnOf(
        averages,
        subgroups.map((one) => one.values),
        "chart",
      );
      const column = signalsOf(charts[0]!, ruleIds);
      const live = new Map<number, string[]>();
      const silent = silencedRules(set);
      for (const one of out) {
        if (one.kind !== "point") continue;
        const flagged = one.point.signals.filter((id) => id.includes("/location/")).map((id) => id.split("/").at(-2)!);
        const drawn = (one.point.silenced ?? []).map(({ rule }) => rule);
        expect(flagged.some((rule) => silent.includes(rule))).toBe(false);
        expect(drawn.every((rule) => silent.includes(rule))).toBe(true);
        live.set(one.point.subgroup, [...flagged, ...drawn].sort());
      }
      subgroups.forEach((_, place) => {
        const rules = column.at(place).map(({ rule }) => rule as string);
        expect(live.get(place)).toEqual(rules.toSorted());
        fired += rules.length;
      });
    }),
    { numRuns: 40 },
  );
  expect(fired).toBeGreaterThan(100);
});

test("in another unit, a + b x, limits of subgroups and of an EWMA move with it", () => {
  fc.assert(
    fc.property(
      fc.integer(),
      fc.constantFrom(averages, ewmaOfRuns, ewmaOfSubgroups),
      fc.constantFrom(-1000, -2, 0.25, 1024),
      fc.integer({ min: -50, max: 50 }),
      (seed, as, b, a) => {
        const values = series(seed, 140, 13, 0.3);
        const moved = values.map((value) => (value === null ? null : a + b * value));
        const [own, other] = [limitsFrom(charted(as), values), limitsFrom(charted(as), moved)];
        const near = (found: number, expected: number): void => {
          expect(Math.abs(found - expected)).toBeLessThan(1e-9 * (Math.abs(a) + Math.abs(b)));
        };
        near(other.location.centre, a + b * own.location.centre);
        near(other.location.upper, a + b * (b > 0 ? own.location.upper : own.location.lower));
        near(other.spread.upper, Math.abs(b) * own.spread.upper);
        near(other.scheme!.sigma, Math.abs(b) * own.scheme!.sigma);
        expect(other.diagnostics.lag1).toBeCloseTo(own.diagnostics.lag1, 8);
      },
    ),
    { numRuns: 60 },
  );
});

test("whatever numbers go in, limits come out finite and in order, or refused", () => {
  const wild = fc.oneof(
    { weight: 6, arbitrary: fc.double({ min: -1e3, max: 1e3, noNaN: true }) },
    { weight: 1, arbitrary: fc.constantFrom(0, 1e-300, 1e150, -1e200, 5) },
    { weight: 1, arbitrary: fc.constant(null) },
  );
  fc.assert(
    fc.property(
      fc.array(wild, { minLength: 100, maxLength: 140 }),
      fc.constantFrom(averages, ewmaOfRuns, ewmaOfSubgroups),
      fc.constantFrom("chart" as const, "overall" as const),
      (values, as, basis) => {
        const { chart: pair, subgroup, ewma, everyMs, unit, rules } = charted(as);
        const asked = { pair, subgroup, ewma, everyMs, unit, rules, basis, subgroups: runsOf(values) };
        const found = proposeLimits(asked);
        if (!found.ok) return;
        const { location, spread, scheme, diagnostics } = found.value;
        for (const { lower, centre, upper, sigma } of [location, spread]) {
          expect([lower, centre, upper, sigma].every(Number.isFinite)).toBe(true);
          expect(lower <= centre && centre <= upper && lower < upper && sigma > 0).toBe(true);
        }
        expect(scheme!.sigma > 0 && scheme!.sigmaWithin > 0).toBe(true);
        expect([diagnostics.lag1, diagnostics.sigmaOverall].every(Number.isFinite)).toBe(true);
      },
    ),
    { numRuns: 100 },
  );
});
