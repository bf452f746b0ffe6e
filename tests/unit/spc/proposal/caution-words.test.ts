import { expect, test } from "vitest";
import type { LimitCaution } from "../../../../spc/charts/limit-diagnostics.ts";
import { cautionWords } from "../../../../spc/proposal/caution-words.ts";
import { pressLimits } from "../../../press-limits.ts";

const every: Readonly<Record<LimitCaution | "between-subgroups", true>> = {
  "few-values": true,
  autocorrelated: true,
  "step-in-baseline": true,
  "overall-basis-recommended": true,
  skewed: true,
  "tails-unlike-normal": true,
  "few-distinct-values": true,
  "overall-to-within": true,
  "signals-in-baseline": true,
  "between-subgroups": true,
};
const plain = pressLimits("PR-01:mold.plateau");
const warned = { ...plain, diagnostics: { ...plain.diagnostics, cautions: Object.keys(every) } };

test("each caution that limits can carry is a sentence, and none its own code", () => {
  for (const { code, text } of cautionWords(warned)) {
    expect(text, code).not.toBe(code.replaceAll("-", " "));
    expect(text.split(" ").length, code).toBeGreaterThan(5);
  }
});

test("limits that rest on all values already are not told that they should", () => {
  const said = (basis: "chart" | "overall") =>
    cautionWords({ ...warned, basis }).find(({ code }) => code === "overall-basis-recommended")?.text;
  expect(said("chart")).toContain("would suit it better");
  expect(said("overall")).toContain("these limits rest on all values");
});
