import fc from "fast-check";
import { expect, test } from "vitest";
import { mergeSamples } from "../../../collector/pipeline/merge-samples.ts";
import type { RoleSample } from "../../../spc/model/run.ts";

function series(role: string, times: readonly number[]): readonly RoleSample[] {
  return times.map((tMs) => ({ role, series: `PR-01/${role}`, tMs, value: tMs, quality: "good" }));
}

test("series become one, in time order, and samples of one instant in the order of the series", () => {
  const times = fc.uniqueArray(fc.nat({ max: 40 }), { maxLength: 20 }).map((list) => list.sort((a, b) => a - b));
  fc.assert(
    fc.property(fc.array(times, { maxLength: 5 }), (lists) => {
      const all = lists.map((list, index) => series(String(index), list));
      const expected = all.flat().sort((a, b) => a.tMs - b.tMs || Number(a.role) - Number(b.role));
      expect(mergeSamples(all)).toEqual(expected);
    }),
  );
});
