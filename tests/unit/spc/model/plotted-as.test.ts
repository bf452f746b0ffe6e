import { expect, test } from "vitest";
import type { RunRecord } from "../../../../spc/model/journal-entry.ts";
import { chartedValue, chartOf, plottedValue } from "../../../../spc/model/plotted-as.ts";

const parts = { "OFW-3304": { target: 1405, sigma: 8 }, "OFW-3312": { target: 1420 } };
const record = (context: Record<string, string>, value: number | null): RunRecord => ({
  run: { id: "PO-F:1", station: "PO-F", startMs: 0, endMs: 1, closedBy: "end-condition", segments: [], context },
  imported: false,
  features: [
    {
      feature: "pour.T1",
      version: 1,
      unit: "Cel",
      value,
      ...(value === null ? { refusal: { code: "few", detail: "few" } } : {}),
    },
  ],
});

test("the charts of a feature are told apart by the words that the settings name", () => {
  const run = { context: { part: "OFW-2107", tool: "T-4", flask: "FA-1" } };
  expect(chartOf(run)).toBe(null);
  expect(chartOf(run, ["part"])).toBe("OFW-2107");
  expect(chartOf(run, ["part", "tool"])).toBe("OFW-2107 T-4");
  expect(chartOf({ context: { tool: "T-4" } }, ["part", "tool"])).toBe("- T-4");
  expect(chartOf({ context: {} }, ["part", "tool"])).toBe(null);
});

test("a value is plotted as it is, as its distance from its part's target, or as that in its part's sigma", () => {
  expect(plottedValue(1412, "OFW-3304", undefined)).toEqual({ ok: true, value: 1412 });
  expect(plottedValue(1412, "OFW-3304", { as: "deviation", parts })).toEqual({ ok: true, value: 7 });
  expect(plottedValue(1397, "OFW-3304", { as: "z", parts })).toEqual({ ok: true, value: -1 });
});

test.each([
  ["deviation", "", "part-unknown"],
  ["deviation", "OFW-3319", "part-without-target"],
  ["deviation", "constructor", "part-without-target"],
  ["z", "OFW-3312", "part-without-target"],
] as const)("as %s the part %j has no place: %s", (as, part, code) => {
  expect(plottedValue(1400, part, { as, parts })).toMatchObject({ ok: false, refusal: { code } });
});

test("a run without a value keeps its reason, and one of another part's chart gives none", () => {
  const chart = { feature: "pour.T1", part: null, plotted: { as: "deviation" as const, parts } };
  expect(chartedValue(record({ part: "OFW-3304" }, 1400), chart)).toMatchObject({ value: -5 });
  expect(chartedValue(record({ part: "OFW-3304" }, null), chart)).toMatchObject({
    value: null,
    refusal: { code: "few" },
  });
  expect(chartedValue(record({}, 1400), chart)).toMatchObject({ value: null, refusal: { code: "part-unknown" } });
  expect(chartedValue(record({ part: "A" }, 1400), { feature: "pour.T1", part: "B", by: ["part"] })).toBe(undefined);
  expect(chartedValue(record({ part: "A" }, 1400), { feature: "pour.time", part: null })).toBe(undefined);
});
