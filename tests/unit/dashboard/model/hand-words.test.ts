import { expect, test } from "vitest";
import type { WireHandField, WireWritten } from "../../../../api/contract/hand-wire.ts";
import {
  contextWords,
  inputName,
  readFields,
  standing,
  typedNumber,
  valuesWords,
} from "../../../../dashboard/model/hand-words.ts";

const field: WireHandField = {
  ...{ feature: "bead.density", name: "bulk density", quantity: "bulk-density", reference: null, unit: "g/L" },
  ...{ digits: 1, values: 3, plausible: null, how: null, byPart: false, parts: [], everyMs: 3_600_000, last: null },
};

test.each<[string, number | null]>([
  ["21.4", 21.4],
  ["21,4", 21.4],
  [" 21 ", 21],
  [",5", 0.5],
  ["−3", -3],
  ["+2.", 2],
  ["", null],
])("%j is typed as %j", (text, value) => {
  expect(typedNumber(text)).toEqual({ ok: true, value });
});

test.each(["1.234,5", "21 g/L", "1e3", "0x10", "NaN", "-", ",", "2 1"])("%j is no number", (text) => {
  expect(typedNumber(text)).toEqual({ ok: false, found: text });
});

test("fields left empty were not measured, and of three pieces two may be there", () => {
  const typed: Readonly<Record<string, string>> = {
    [inputName("bead.density", 0)]: "22,1",
    [inputName("bead.density", 2)]: "21.9",
  };
  const other = { ...field, feature: "bead.moisture", values: 1 };
  const read = readFields([field, other], (name) => typed[name] ?? "");
  expect(read.values).toEqual([{ feature: "bead.density", unit: "g/L", values: [22.1, 21.9] }]);
  expect(read.mistakes.size).toBe(0);
});

test("what is no number is said at its own input", () => {
  const read = readFields([field], (name) => (name === inputName("bead.density", 1) ? "dry" : "22"));
  expect([...read.mistakes]).toEqual([[inputName("bead.density", 1), "A number such as 21.4, not “dry”"]]);
});

test("values stand with the digits of their scale and one unit; the newest correction holds", () => {
  expect(valuesWords([22, 21.94], field)).toBe("22.0, 21.9\u202fg/L");
  const corrections = [
    { values: [22.1], by: "Late lead", at: "2026-11-25T09:00:00.000Z", reason: "misread" },
    { values: [22.3], by: "Late lead", at: "2026-11-25T09:05:00.000Z", reason: "misread again" },
  ];
  const written = { values: [29.1], corrections } as unknown as WireWritten;
  expect(standing(written)).toEqual({ values: [22.3], before: [[29.1], [22.1]] });
});

test("a part stands for itself, all else says what it is", () => {
  expect(contextWords({ part: "OFW-2107", lot: "BL-12" })).toBe("OFW-2107 · lot BL-12");
});
