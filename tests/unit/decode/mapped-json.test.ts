import { expect, test } from "vitest";
import { pointerReader } from "../../../collector/decode/json-pointer.ts";
import { T0 } from "./decoding.ts";
import { decoderOf, rawMessage, refused, taken } from "./formats.ts";

const decoder = decoderOf();
const decode = (payload: unknown, changes = {}) => decoder.decode(rawMessage("ostrimvale/GW-PO/x", payload, changes));
const stream = (changes: object = {}) => ({ tag: "TT-1", v: 7315, ts: T0 * 1000 + 999, q: 0, ...changes });
const rows = (...list: unknown[]) => ({ n: 7, rows: list });

test("a value is found by its pointer, scaled, and stamped", () => {
  const decoded = decode(rows(stream(), { tag: "ZS-1", v: true, ts: (T0 + 5) * 1000, q: "OK" }));
  expect(decoded).toMatchObject({ source: "GW-PO", sequence: 7, rejections: [], items: 2 });
  expect(taken(decoded)).toEqual([
    ["PO-A/stream", 0, 751.5, "good"],
    ["PO-A/pour", 5, 1, "good"],
  ]);
});

test("quality is good or uncertain where the settings say so, and bad otherwise", () => {
  const quality = (q: unknown) => taken(decode(rows(stream({ q })))).map(([, , value, found]) => [value, found]);
  expect(quality("OK")).toEqual([[751.5, "good"]]);
  expect(quality(1)).toEqual([[751.5, "uncertain"]]);
  for (const q of [2, "0", null, undefined, {}, true]) expect(quality(q)).toEqual([[751.5, "bad"]]);
  expect(taken(decode(rows(stream({ v: null, q: 2 }))))).toEqual([["PO-A/stream", 0, null, "bad"]]);
});

const refusals: readonly (readonly [code: string, place: string, message: unknown])[] = [
  ["not-json", "", "{"],
  ["not-a-list", "/rows", "NaN"],
  ["not-utf8", "", new Uint8Array([0x22, 0xff, 0x22])],
  ["too-large", "", new Uint8Array(1_048_577)],
  ["not-a-list", "/rows", {}],
  ["not-a-list", "/rows", 5],
  ["not-a-number", "/n", { n: -1, rows: [stream()] }],
  ["unknown-series", "/rows/0", rows({ tag: "TT-2", v: 1 })],
  ["unknown-series", "/rows/0", rows(null)],
  ["value-missing", "/rows/0/v", rows(stream({ v: undefined }))],
  ["value-missing", "/rows/0/v", rows(stream({ v: null }))],
  ["value-missing", "/rows/0/v", rows({ tag: "ZS-1", v: 1, ts: T0 * 1000, q: 9 })],
  ["not-a-number", "/rows/0/v", rows(stream({ v: "7315" }))],
  ["not-a-number", "/rows/0/v", rows(stream({ v: true }))],
  ["not-a-number", "/rows/0/v", rows(stream({ v: { deep: [] } }))],
  ["not-a-number", "/rows/0/v", JSON.stringify(rows(stream())).replace("7315", "1e400")],
  ["not-a-number", "/rows/0/v", JSON.stringify(rows(stream({ v: "NaN" })))],
  ["not-a-time", "/rows/0/ts", rows(stream({ ts: "2026-11-25T08:05:12.345Z" }))],
  ["not-a-time", "/rows/0/ts", rows(stream({ ts: undefined }))],
  ["not-a-time", "/rows/0/ts", rows(stream({ ts: 1e300 }))],
  ["time-too-old", "/rows/0/ts", rows(stream({ ts: 0 }))],
  ["time-in-future", "/rows/0/ts", rows(stream({ ts: Date.UTC(2099, 0, 1) * 1000 }))],
];
test.each(refusals)("%s at %j", (code, place, message) => {
  const decoded = decode(message);
  expect(decoded.rejections).toEqual([{ code, place, detail: expect.stringMatching(/^.{5,300}$/s) }]);
  expect([decoded.samples, decoded.items]).toEqual([[], 1]);
});

test("an empty list is a gateway with nothing new, and its number counts like any", () => {
  expect(decode(rows())).toMatchObject({ sequence: 7, samples: [], rejections: [], items: 0 });
});

test("a message of which nothing can be taken has come: its number is not missing", () => {
  for (const message of [{ n: 7 }, { n: 7, rows: {} }, rows(stream({ v: "7315" }))]) {
    expect(decode(message), JSON.stringify(message)).toMatchObject({ sequence: 7, samples: [], items: 1 });
  }
});

const single = (row: string, rest = "time: { at: /t, as: iso }") => {
  const one = decoderOf(`sources:
  - { id: GW-PO, topic: pour/+, format: mapped-json, ${rest}, map: [{ series: PO-A/stream, ${row} }] }
`);
  return (payload: unknown) => one.decode(rawMessage("pour/1", payload));
};

test("times are read as the settings say: ISO, seconds, milliseconds, microseconds", () => {
  const after = (as: string, t: unknown) =>
    taken(single("value: /v, unit: Cel", `time: { at: /t, as: ${as} }`)({ v: 1, t })).map(([, ms]) => ms);
  expect(after("iso", "2026-11-25T08:05:12.345Z")).toEqual([0]);
  expect(after("seconds", T0 / 1000)).toEqual([0]);
  expect(after("milliseconds", T0)).toEqual([0]);
  expect(after("microseconds", T0 * 1000)).toEqual([0]);
  for (const ms of [0, 1, 2, 7, 999]) expect(after("nanoseconds", (T0 + ms) * 1e6)).toEqual([ms]);
  expect(after("nanoseconds", T0 * 1e6 + 999_000)).toEqual([0]);
  for (const as of ["seconds", "milliseconds", "microseconds", "nanoseconds", "iso", "local"])
    expect(after(as, "1795593912")).toEqual([]);
});

test("a local time is of the site's zone, and of two alike the one nearer to the arrival", () => {
  const one = decoderOf(`sources:
  - id: GW-PO
    topic: pour/+
    format: mapped-json
    time: { at: /t, as: local }
    map: [{ series: PO-A/pour, value: /v }]
`);
  const at = (t: string, receivedMs: number) =>
    one.decode(rawMessage("pour/1", { v: 1, t }, { receivedMs })).samples.map(({ tMs }) => tMs - receivedMs);
  expect(at("2026-11-25 09:05:12.345", T0)).toEqual([0]);
  expect(at("25.11.2026 09:05:12", T0)).toEqual([-345]);
  // Clocks of CET showed half past two twice on 25 October 2026.
  expect(at("2026-10-25 02:30:00", Date.UTC(2026, 9, 25, 0, 30, 1))).toEqual([-1000]);
  expect(at("2026-10-25 02:30:00", Date.UTC(2026, 9, 25, 1, 30, 1))).toEqual([-1000]);
  expect(at("2026-03-29 02:30:00", Date.UTC(2026, 2, 29, 1, 30))).toEqual([]);
});

test("one time may stand beside the list, for all of it", () => {
  const one = decoderOf(`sources:
  - id: GW-PO
    topic: pour/+
    format: mapped-json
    list: /values
    time: { at: /ts, as: milliseconds, of: message }
    map: [{ series: PO-A/pour, value: /v }]
`);
  const decode = (payload: unknown) => one.decode(rawMessage("pour/1", payload));
  expect(taken(decode({ ts: T0 + 5, values: [{ v: 1, ts: 1 }] }))).toEqual([["PO-A/pour", 5, 1, "good"]]);
  expect(refused(decode({ values: [{ v: 1, ts: T0 }] }))).toEqual([["not-a-time", "/ts"]]);
  expect(refused(decode({ ts: 0, values: [{ v: 1 }] }))).toEqual([["time-too-old", "/ts"]]);
});

test("a unit may stand in the message", () => {
  const decode = single("value: /v, unitAt: /u");
  const t = "2026-11-25T08:05:12.345Z";
  expect(taken(decode({ v: 1000, u: "K", t }))[0]?.[2]).toBeCloseTo(726.85, 9);
  expect(refused(decode({ v: 1000, u: "bar", t }))).toEqual([["unknown-unit", "/u"]]);
  expect(refused(decode({ v: 1000, t }))).toEqual([["unknown-unit", "/u"]]);
  expect(refused(decode({ v: 1000, u: 5, t }))).toEqual([["unknown-unit", "/u"]]);
});

test("numbers written as text need their decimal mark said", () => {
  const t = "2026-11-25T08:05:12.345Z";
  const value = (decimal: string, v: unknown) =>
    taken(single(`value: /v, unit: Cel, decimal: ${decimal}`)({ v, t })).map(([, , number]) => number);
  expect(value("comma", "751,5")).toEqual([751.5]);
  expect(value("point", "751.5")).toEqual([751.5]);
  expect(value("point", "-7.5e1")).toEqual([-75]);
  for (const v of ["751.5", "751,5 ", "1.751,5", "", "NaN", "Infinity", "0x10", "1e999", 751]) {
    expect(value("comma", v), String(v)).toEqual([]);
  }
});

test("a sender that has no word for quality says by null that it has no value: a bad reading", () => {
  const t = "2026-11-25T08:05:12.345Z";
  expect(taken(single("value: /v, unit: Cel")({ v: null, t }))).toEqual([["PO-A/stream", 0, null, "bad"]]);
});

test("one NaN, as a Python program writes it, costs its own reading", () => {
  const text = JSON.stringify(rows(stream(), { tag: "ZS-1", v: 1, ts: T0 * 1000, q: 0 })).replace("7315", "NaN");
  const decoded = decode(text);
  expect(refused(decoded)).toEqual([["value-missing", "/rows/0/v"]]);
  expect(taken(decoded)).toEqual([["PO-A/pour", 0, 1, "good"]]);
  const bad = single("value: /v, unit: Cel")('{"v":NaN,"t":"2026-11-25T08:05:12.345Z"}');
  expect(taken(bad)).toEqual([["PO-A/stream", 0, null, "bad"]]);
});

test("a row that is optional may be left out, but not all of a message", () => {
  const decode = single("value: /v, unit: Cel, optional: true");
  expect(refused(decode({ w: 1, t: "2026-11-25T08:05:12.345Z" }))).toEqual([["unknown-series", ""]]);
});

test("rows may have their own time and quality", () => {
  const decode = single(
    "value: /a/0/v, unit: Cel, time: { at: /a/0/t, as: milliseconds }, quality: { at: /a/0/ok, good: [true] }",
  );
  expect(taken(decode({ a: [{ v: 3, t: T0, ok: true }] }))).toEqual([["PO-A/stream", 0, 3, "good"]]);
  expect(taken(decode({ a: [{ v: 3, t: T0, ok: 1 }] }))).toEqual([["PO-A/stream", 0, 3, "bad"]]);
});

test("braces nested deep are refused in few words", () => {
  const deep = `${'{"v":'.repeat(100_000)}1${"}".repeat(100_000)}`;
  const decoded = single("value: /v, unit: Cel")(deep.replace("{", '{"t":"2026-11-25T08:05:12.345Z",'));
  expect(refused(decoded)).toEqual([["not-a-number", "/v"]]);
});

test("what is not an own key of the message is not there", () => {
  expect(refused(single("value: /constructor/name, unit: Cel")({}))).toEqual([["value-missing", "/constructor/name"]]);
  expect(pointerReader("/length")([1])).toBeUndefined();
  expect(pointerReader("/01")([1, 2])).toBeUndefined();
  expect(pointerReader("/-")([1, 2])).toBeUndefined();
});
