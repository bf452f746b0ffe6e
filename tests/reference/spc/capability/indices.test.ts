import { expect, test } from "vitest";
import { nearestIndex, spreadIndex } from "../../../../spc/capability/indices.ts";

/** NIST/SEMATECH e-Handbook 6.1.6 (one transcription, agrees with memory): USL 20, LSL 8, mean 16, s 2. */
const specification = { lower: 8, upper: 20, unit: "mm", origin: "NIST/SEMATECH e-Handbook 6.1.6" };
const oneSided = (side: { lower?: number; upper?: number }) => ({ ...side, unit: "mm", origin: "trial" });

test("NIST 6.1.6: Cp 1, Cpk 0.6667, Cpu 0.6667, Cpl 1.3333", () => {
  expect(spreadIndex(specification, 2)).toEqual({ ok: true, value: 1 });
  expect(nearestIndex(specification, 16, 2)).toEqual({ ok: true, value: 2 / 3 });
  expect(nearestIndex(oneSided({ upper: 20 }), 16, 2)).toEqual({ ok: true, value: 2 / 3 });
  expect(nearestIndex(oneSided({ lower: 8 }), 16, 2)).toEqual({ ok: true, value: 4 / 3 });
});

test("one side has no Cp, no side has no Cpk, and a mean outside keeps its sign", () => {
  expect(spreadIndex(oneSided({ upper: 20 }), 2)).toMatchObject({ refusal: { code: "one-sided-specification" } });
  expect(nearestIndex(oneSided({}), 16, 2)).toMatchObject({ refusal: { code: "no-specification" } });
  expect(nearestIndex(specification, 23, 2)).toEqual({ ok: true, value: -0.5 });
});
