import { expect, test } from "vitest";
import type { Rejection } from "../../../collector/decode/decoder.ts";
import { readJson } from "../../../collector/decode/read-json.ts";
import { rawMessage } from "./formats.ts";

function read(text: string, nanIsNull = false) {
  const rejections: Rejection[] = [];
  const value = readJson(rawMessage("any", text), rejections, nanIsNull);
  return rejections.length > 0 ? rejections.map(({ code }) => code) : value;
}

test("a byte order mark before JSON, and noughts after it, are passed over", () => {
  expect(read('\uFEFF{"a":1}\0\0')).toEqual({ a: 1 });
  expect(read('{"a":"\uFEFF"}')).toEqual({ a: "\uFEFF" });
  for (const text of ["", "\uFEFF", "\0", '{"a":1}\0 x', '\0{"a":1}']) expect(read(text), text).toEqual(["not-json"]);
});

test("NaN and Infinity are null where that is asked for, and stay what they are inside a text", () => {
  const text = '{"a":NaN,"b":[-Infinity,Infinity, NaN ],"c":"NaN, \\"NaN","d":1}';
  expect(read(text, true)).toEqual({ a: null, b: [null, null, null], c: 'NaN, "NaN', d: 1 });
  expect(read(text)).toEqual(["not-json"]);
  for (const wrong of ['{"a":NaNa}', '{"a":NaN', "{NaN:1}", "nan", '"NaN', '"NaN\\']) {
    expect(read(wrong, true), wrong).toEqual(["not-json"]);
  }
});

// Looked at from each quote anew it would take longer than a test may.
test("a text of quotes that never ends is looked at once", () => {
  for (const end of ["", "\\", "NaN"]) {
    expect(read(`"${'\\"'.repeat(500_000)}${end}`, true)).toEqual(["not-json"]);
  }
});
