import fc from "fast-check";
import { expect, test } from "vitest";
import { columnFrom, constantColumn } from "../../../../spc/model/column.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { singles, subgroups } from "../../../../spc/model/grouped.ts";
import { singleVectors } from "../../../../spc/model/vectors.ts";
import { ruleIds } from "../../../../spc/rules/rule-ids.ts";
import { countForms, type ValueForm, valueForms, vectorForms } from "../../../../spc/study/forms.ts";
import type { StudyData } from "../../../../spc/study/request.ts";
import { type StudyOptions, usualOptions } from "../../../../spc/study/request.ts";
import type { StudyResult } from "../../../../spc/study/result.ts";
import { study } from "../../../../spc/study/study.ts";
import { normals } from "../seeded.ts";

const options: StudyOptions = { ...usualOptions, rules: ruleIds, lower: -3, upper: 5, target: 1 };

function ask(data: StudyData, more: Partial<StudyOptions> = {}): StudyResult {
  return study({ ...options, ...more, rows: 0, data });
}

function ofValues(values: readonly (number | null)[], form: ValueForm): StudyData {
  const parts = values.map((_, i) => ["A", "B"][i % 2]!);
  return { kind: "values", form, values: singles(values), parts, nominal: constantColumn(0, values.length) };
}

/** All numbers that a result holds: none may be anything but finite. */
function numbersOf(result: StudyResult): number[] {
  const found: number[] = [];
  const walk = (value: unknown): void => {
    if (typeof value === "number") found.push(value);
    else if (Array.isArray(value)) value.forEach(walk);
    else if (value !== null && typeof value === "object") Object.values(value).forEach(walk);
  };
  const { charts, ...rest } = result;
  walk(rest);
  for (const { chart, signals } of charts) {
    walk(chart.provenance);
    for (let place = 0; place < chart.values.length; place += 1) {
      const { values, centres, sigmas, lower, upper } = chart;
      walk([values, centres, sigmas, lower, upper].map((column) => column.at(place)));
      walk(signals.at(place));
      const verdict = verdictAt(chart, place);
      if (values.at(place) === null || chart.refusal !== null) expect(verdict).toBe("not-evaluable");
      if (verdict === "above" || verdict === "below") expect(signals.any(place)).toBe(true);
    }
  }
  return found;
}

const hostile = fc.oneof(
  fc.double({ noNaN: true, noDefaultInfinity: true, min: -1e6, max: 1e6 }),
  fc.constantFrom(0, -0, 1e7 + 0.1, 1e-300, -1e-300, 1e140, -1e140, 5, 5, 5),
  fc.constant(null),
);
const positive = fc.oneof(fc.integer({ min: 0, max: 200 }), fc.constantFrom(0, 1, 1, 3));
const ofWaits: readonly ValueForm[] = ["g", "t"];

test.each(valueForms.filter((form) => !ofWaits.includes(form)))(
  "%s: whatever the values, every number of a study is finite, and a signal stands wherever a point is out",
  (form) => {
    fc.assert(
      fc.property(fc.array(hostile, { minLength: 2, maxLength: 60 }), (values) => {
        fc.pre(values.some((value) => value !== null));
        expect(numbersOf(ask(ofValues(values, form))).every(Number.isFinite)).toBe(true);
      }),
      { numRuns: 60 },
    );
  },
);

test.each(ofWaits)("%s: the same for waits", (form) => {
  fc.assert(
    fc.property(fc.array(positive, { minLength: 2, maxLength: 60 }), (values) => {
      expect(numbersOf(ask(ofValues(values, form))).every(Number.isFinite)).toBe(true);
    }),
    { numRuns: 60 },
  );
});

test.each(["xbar-r", "xbar-s", "median-r", "three-way", "ewma", "cusum", "moving-average"] as const)(
  "%s: the same for subgroups of any sizes, empty ones among them",
  (form) => {
    const value = hostile.filter((one) => one !== null);
    fc.assert(
      fc.property(fc.array(fc.array(value, { maxLength: 6 }), { minLength: 2, maxLength: 30 }), (lists) => {
        fc.pre(lists.some((list) => list.length > 0));
        const data: StudyData = { kind: "values", form, values: subgroups(lists), parts: null, nominal: null };
        expect(numbersOf(ask(data)).every(Number.isFinite)).toBe(true);
      }),
      { numRuns: 60 },
    );
  },
);

test.each(countForms)("%s: the same for counts, samples of none and places without a count among them", (form) => {
  const place = fc
    .integer({ min: 0, max: 60 })
    .chain((size) =>
      fc.record({ size: fc.constant(size), count: fc.oneof(fc.integer({ min: 0, max: size }), fc.constant(null)) }),
    );
  fc.assert(
    fc.property(fc.array(place, { minLength: 2, maxLength: 40 }), fc.boolean(), (places, exact) => {
      const equal = form === "np" || form === "c";
      const sizes = equal ? constantColumn(60, places.length) : columnFrom(places.map(({ size }) => size));
      const counted = { counts: columnFrom(places.map(({ count }) => count)), sizes, anew: [] };
      const result = study({
        ...usualOptions,
        limits: exact && !form.endsWith("prime") ? "exact" : "sigma",
        rules: ruleIds,
        rows: 0,
        data: { kind: "counts", form, counted, sized: form !== "c" },
      });
      expect(numbersOf(result).every(Number.isFinite)).toBe(true);
    }),
    { numRuns: 60 },
  );
});

test.each(vectorForms)("%s: the same for vectors", (form) => {
  fc.assert(
    fc.property(fc.array(fc.tuple(hostile, hostile), { minLength: 2, maxLength: 40 }), (rows) => {
      const vectors = singleVectors(2, rows);
      const request = { ...usualOptions, rules: ruleIds, rows: 0, data: { kind: "vectors", form, vectors } } as const;
      expect(numbersOf(study(request)).every(Number.isFinite)).toBe(true);
    }),
    { numRuns: 40 },
  );
});

test.each(["individuals", "ewma", "cusum", "moving-average", "residual", "batch-mean"] as const)(
  "%s: another unit of the same values changes no verdict, no signal and no index",
  (form) => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), fc.integer({ min: -50, max: 50 }), (seed, shift) => {
        const next = normals(seed);
        const values = Array.from({ length: 60 }, () => next());
        // Powers of two and small whole numbers keep the values' last bits.
        const other = values.map((value) => 4 * value + shift);
        const one = ask(ofValues(values, form));
        const two = ask(ofValues(other, form), {
          lower: 4 * options.lower! + shift,
          upper: 4 * options.upper! + shift,
          target: 4 * options.target! + shift,
        });
        const marks = ({ charts }: StudyResult) =>
          charts.map(({ chart, signals }) =>
            Array.from({ length: signals.length }, (_, i) => [verdictAt(chart, i), signals.at(i)]),
          );
        expect(marks(two)).toEqual(marks(one));
        expect(two.changePoints).toEqual(one.changePoints);
        expect(two.cautions.map(({ code }) => code)).toEqual(one.cautions.map(({ code }) => code));
        const { ppk } = one.capability!;
        if ("estimate" in ppk) {
          expect(two.capability!.ppk).toMatchObject({ estimate: expect.closeTo(ppk.estimate, 9) });
        }
      }),
      { numRuns: 30 },
    );
  },
);

test("none asked for: whatever the data and the baseline, a form is chosen that takes them", () => {
  const value = hostile.filter((one) => one !== null);
  const lists = fc.array(fc.array(value, { maxLength: 4 }), { minLength: 4, maxLength: 20 });
  fc.assert(
    fc.property(lists, fc.nat({ max: 3 }), (groups, from) => {
      fc.pre(groups.some((list) => list.length > 0));
      const data: StudyData = { kind: "values", form: null, values: subgroups(groups), parts: null, nominal: null };
      const result = ask(data, { baseline: { from, to: groups.length } });
      expect(result.advice).not.toBeNull();
      expect(numbersOf(result).every(Number.isFinite)).toBe(true);
    }),
    { numRuns: 100 },
  );
});
