import { expect, test } from "vitest";
import { empiricalQuantile } from "../../../../spc/models/empirical-quantile.ts";

const upTo = (n: number): readonly number[] => Array.from({ length: n }, (_, i) => i + 1);

test("0.00135 and 0.99865 need 741 values, of which one lies beyond", () => {
  for (const p of [0.00135, 0.99865]) {
    expect(empiricalQuantile(upTo(740), p)).toMatchObject({ refusal: { code: "too-few", needs: 741, has: 740 } });
    expect(empiricalQuantile(upTo(741), p)).toMatchObject({ ok: true });
  }
  expect(empiricalQuantile(upTo(741), 0.00135)).toMatchObject({ value: 0.00135 * 742 });
});

test("the median asks for two, a quarter for four", () => {
  expect(empiricalQuantile([7], 0.5)).toMatchObject({ refusal: { code: "too-few", needs: 2 } });
  expect(empiricalQuantile([7, 9], 0.5)).toEqual({ ok: true, value: 8 });
  expect(empiricalQuantile([7, 9, 11], 0.25)).toMatchObject({ refusal: { needs: 4 } });
  expect(empiricalQuantile([], 0.5)).toMatchObject({ refusal: { has: 0 } });
});

test("a share or a value that is none is a defect", () => {
  for (const p of [0, 1, Number.NaN]) expect(() => empiricalQuantile(upTo(10), p)).toThrow(RangeError);
  expect(() => empiricalQuantile([1, Number.NaN], 0.5)).toThrow(RangeError);
});
