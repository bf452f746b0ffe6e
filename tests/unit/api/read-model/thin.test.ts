import fc from "fast-check";
import { expect, test } from "vitest";
import { thin } from "../../../../api/read-model/thin.ts";

const trace = fc
  .array(fc.tuple(fc.integer({ min: 1, max: 50 }), fc.option(fc.double({ noNaN: true, min: -1e6, max: 1e6 }))), {
    minLength: 1,
    maxLength: 400,
  })
  .map((steps) => {
    let at = 0;
    return { tMs: steps.map(([step]) => (at += step)), value: steps.map(([, value]) => value) };
  });

test("a short trace comes back as it is", () => {
  const short = { tMs: [0, 10, 20], value: [1, null, 3] };
  expect(thin(short, 2)).toEqual({ ...short, thinned: false });
});

test("a thinned trace keeps order, the lowest, the highest, and that something is missing", () => {
  fc.assert(
    fc.property(trace, fc.integer({ min: 1, max: 30 }), (whole, columns) => {
      const { tMs, value } = thin(whole, columns);
      expect(tMs).toEqual(tMs.toSorted((a, b) => a - b));
      expect(new Set(tMs).size).toBe(tMs.length);
      const numbers = whole.value.filter((v) => v !== null);
      const kept = value.filter((v) => v !== null);
      if (numbers.length > 0) {
        expect(Math.min(...kept)).toBe(Math.min(...numbers));
        expect(Math.max(...kept)).toBe(Math.max(...numbers));
      }
      expect(value.includes(null)).toBe(whole.value.includes(null));
      for (const [i, t] of tMs.entries()) expect(whole.value[whole.tMs.indexOf(t)]).toBe(value[i]);
      if (whole.tMs.length > 2 * columns) expect(tMs.length).toBeLessThanOrEqual(3 * columns);
      if (whole.tMs.length > 2 * columns && !whole.value.includes(null)) {
        expect(tMs.length).toBeLessThanOrEqual(2 * columns);
      }
    }),
  );
});
