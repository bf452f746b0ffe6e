import { expect, test } from "vitest";
import { loadSettings } from "../../../../collector/platform/settings/load.ts";
import { siteText } from "./site-text.ts";

const density = `      - feature: bead.density
        name: bulk density
        quantity: bulk-density
        digits: 1
        every: 1 h
        byHand: { unit: g/L, values: 3, plausible: { lower: 15, upper: 35 } }
        specification: { lower: 21.4, upper: 22.6, unit: g/L, origin: control plan }
`;

function loaded(from = "", to = "") {
  return loadSettings(Buffer.from(siteText + density.replace(from, to)));
}

test("a value by hand has its unit, its number of pieces and what is plausible from the settings", () => {
  const answer = loaded();
  if (!answer.ok) throw new Error(JSON.stringify(answer.mistakes));
  const plan = answer.site.stations[0]!.plans[1]!;
  expect(plan.byHand).toEqual({ unit: "g/L", values: 3, plausible: { lower: 15, upper: 35 }, how: null });
  expect(plan.characteristic(null)).toMatchObject({ id: "PR-01:bead.density", unit: "g/L" });
  expect(answer.site.stations[0]!.plans[0]!.byHand).toBeNull();
});

test.each<[string, string, string, string]>([
  ["a specification in another unit", "unit: g/L, origin", "unit: kg/L, origin", "specification.unit"],
  ["numbers of an extractor", "every: 1 h", "every: 1 h\n        settings: { threshold: 1 }", "settings"],
  ["a feature without a point", "bead.density", "density", "feature"],
  ["another unit than that of a feature we know", "bead.density", "oven.mean", "byHand.unit"],
  ["bounds the wrong way round", "lower: 15, upper: 35", "lower: 35, upper: 15", "byHand.plausible"],
  ["no pieces", "values: 3", "values: 0", "byHand.values"],
])("%s is a mistake at its place", (_, from, to, place) => {
  const answer = loaded(from, to);
  expect(answer.ok).toBe(false);
  if (!answer.ok)
    expect(answer.mistakes.map((one) => one.path)).toContain(`stationKinds.press.characteristics[1].${place}`);
});
