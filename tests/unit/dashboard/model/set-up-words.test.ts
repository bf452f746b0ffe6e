import { expect, test } from "vitest";
import type { WireSetUpWord } from "../../../../api/contract/set-up-wire.ts";
import { otherwise, saidWords, scanned } from "../../../../dashboard/model/set-up-words.ts";

const words: readonly WireSetUpWord[] = [
  { key: "part", name: "Part", choices: ["OFW-2107", "OFW-2115"], prefix: null },
  { key: "tool", name: "Tool", choices: ["T-2107"], prefix: "T-" },
  { key: "lot", name: "Bead lot", choices: [], prefix: "BL-" },
];
const stations = ["PR-01", "PR-02"];

test.each([
  ["OFW-2115", { kind: "word", key: "part", word: "OFW-2115" }],
  [" ofw-2115\u001d", { kind: "word", key: "part", word: "OFW-2115" }],
  ["BL-A3001", { kind: "word", key: "lot", word: "BL-A3001" }],
  ["pr-02", { kind: "station", station: "PR-02" }],
  ["T-9999", { kind: "unknown", why: "T-9999 is no tool of these settings." }],
  ["4006381333931", { kind: "unknown", why: "4006381333931 is none of part, tool or bead lot here." }],
  ["\u001d", { kind: "unknown", why: "Nothing was read." }],
])("the code %j finds its field, its station, or its answer", (code, found) => {
  expect(scanned(code, words, stations)).toEqual(found);
});

test("the only word without choices and beginning takes any other code", () => {
  const free = [words[0]!, { key: "heat", name: "Heat", choices: [], prefix: null }];
  expect(scanned("H 4711", free, stations)).toEqual({ kind: "word", key: "heat", word: "H 4711" });
});

test("what was said is told in the order of the settings, an empty word as none", () => {
  expect(saidWords({ lot: "BL-1", part: "", tank: "SL-A" }, words)).toBe("no part · bead lot BL-1 · tank SL-A");
});

test("a run that began later and has another word tells it itself", () => {
  const said = { word: "OFW-2107", since: "2026-11-25T08:00:00.000Z", by: "Early lead" };
  const at = (start: string, context: Record<string, string>) => {
    const lastRun = { id: "PR-01:x", runWord: "shot", start, context };
    const rest = { station: "PR-01", stage: "Moulding", line: "white", words: [...words], now: { part: said } };
    return otherwise({ ...rest, lastRun }).map(({ key }) => key);
  };
  expect(at("2026-11-25T09:00:00.000Z", { part: "OFW-2115" })).toEqual(["part"]);
  expect(at("2026-11-25T07:00:00.000Z", { part: "OFW-2115" })).toEqual([]);
  expect(at("2026-11-25T09:00:00.000Z", {})).toEqual([]);
});
