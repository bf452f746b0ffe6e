import { expect, test } from "vitest";
import type { WireDryness, WireLadle } from "../../../../api/contract/wire.ts";
import { doubtSentences, drynessSentence, evidenceOf, ladleSentence } from "../../../../dashboard/model/run-rules.ts";

const ladle: WireLadle = {
  ...{ run: "PO-F.ladle:20261125T080000000Z", name: "LF-1", features: [], flasks: [] },
  ...{ like: "cold-tap", outside: [7, 8], least: 1355 },
};

test("the ladle rule says what a ladle is like, and which flasks are below what none should be", () => {
  expect(ladleSentence(ladle)).toBe(
    "First metal is low and the flasks after it lie on their line: like a cold tap. Below 1355 °C, which no flask should be: flasks 7, 8.",
  );
  expect(ladleSentence({ ...ladle, like: "nothing", outside: [] })).not.toContain("Below");
});

const dryness: WireDryness = {
  ...{
    says: "undecided",
    by: null,
    doubts: ["balance-disagrees"],
    residualLimit: 0.5,
    ratio: { from: 0.85, to: 1.15 },
  },
  evidence: [
    {
      feature: "dry.t_end",
      version: 1,
      unit: "h",
      value: null,
      refusal: { code: "x", detail: "two probes cannot tell" },
    },
    { feature: "dry.water_ratio", version: 1, unit: "1", value: 0.7 },
  ],
};

test("the dryer rule says who decides, what contradicts it, and of what is withheld the reason in words", () => {
  expect(drynessSentence(dryness)).toContain("no instrument here deserves to say");
  expect(drynessSentence({ ...dryness, says: "above-limit", by: "witness" })).toContain("0.5 % of the dry coat");
  expect(doubtSentences(dryness)).toHaveLength(1);
  expect(evidenceOf(dryness)).toEqual([
    { name: "Endpoint by humidity difference", value: null, reason: "two probes cannot tell" },
    { name: "Water carried out over water expected", value: "0.70", reason: "" },
  ]);
});
