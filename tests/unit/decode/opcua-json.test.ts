import { expect, test } from "vitest";
import { T0 } from "./decoding.ts";
import { decoderOf, rawMessage, refused, taken } from "./formats.ts";

const decoder = decoderOf();
const decode = (payload: unknown, changes = {}) => decoder.decode(rawMessage("ostrimvale/GW-AO/x", payload, changes));
const Timestamp = "2026-11-25T08:05:12.345Z";
const dataSet = (Payload: unknown, changes: object = {}) => ({
  DataSetWriterId: 101,
  SequenceNumber: 5,
  Timestamp,
  Payload,
  ...changes,
});
const network = (...Messages: unknown[]) => ({ MessageId: "m1", MessageType: "ua-data", PublisherId: "P", Messages });

test("plain values take the time and status of their message", () => {
  const decoded = decode(network(dataSet({ Temperature: 71.5, Active: true }), dataSet({ Zone2: 158 })));
  expect(decoded).toMatchObject({ source: "GW-AO", rejections: [], items: 3 });
  expect(taken(decoded).map(([series, t, , quality]) => [series, t, quality])).toEqual([
    ["AO-1/t1", 0, "good"],
    ["AO-1/door", 0, "good"],
    ["AO-1/t2", 0, "good"],
  ]);
  // 158 degF is 70 Cel: (158 - 32) * 5 / 9.
  expect(decoded.samples[2]!.value).toBeCloseTo(70, 9);
  expect(decoded.counted).toEqual([
    { stream: "P/101", number: 5, wraps: 2 ** 32 },
    { stream: "P/101", number: 5, wraps: 2 ** 32 },
  ]);
});

test("a DataValue has its own time and status, and the worse status counts", () => {
  const quality = (field: object, changes: object = {}) =>
    taken(decode(network(dataSet({ Temperature: { Value: 71.5, ...field } }, changes)))).map(([, t, v, q]) => [
      t,
      v,
      q,
    ]);
  expect(quality({ SourceTimestamp: "2026-11-25T08:05:11.3459Z" })).toEqual([[-1000, 71.5, "good"]]);
  expect(quality({ Status: { Code: 0x40000000 } })).toEqual([[0, 71.5, "uncertain"]]);
  expect(quality({ StatusCode: 0x80000000 })).toEqual([[0, 71.5, "bad"]]);
  expect(quality({ StatusCode: 0xc0000000 })).toEqual([[0, 71.5, "bad"]]);
  expect(quality({ StatusCode: 0 }, { Status: 0x40920000 })).toEqual([[0, 71.5, "uncertain"]]);
  expect(quality({ Value: undefined, StatusCode: 0x80000000 })).toEqual([[0, null, "bad"]]);
  expect(quality({ Status: {} })).toEqual([[0, 71.5, "good"]]);
  // No value is a bad one, whatever its status says.
  expect(quality({ Value: null, StatusCode: 0 })).toEqual([[0, null, "bad"]]);
  expect(taken(decode(network(dataSet({ Temperature: null }))))).toMatchObject([["AO-1/t1", 0, null, "bad"]]);
});

test("Variants are unwrapped, and 64-bit integers come as text", () => {
  const value = (Temperature: unknown) =>
    taken(decode(network(dataSet({ Temperature })))).map(([, , number]) => number);
  expect(value({ Type: 11, Body: 71.5 })).toEqual([71.5]);
  expect(value({ Value: { Type: 11, Body: 71.5 } })).toEqual([71.5]);
  expect(value({ UaType: 11, Value: 71.5 })).toEqual([71.5]);
  expect(value("72")).toEqual([72]);
  expect(value("9007199254740993")).toEqual([]);
});

test("a DataSetMessage may stand alone, or alone in its network message", () => {
  expect(taken(decode(dataSet({ Temperature: 1 })))).toHaveLength(1);
  expect(taken(decode({ ...network(), Messages: dataSet({ Temperature: 1 }) }))).toHaveLength(1);
  expect(taken(decode([dataSet({ Temperature: 1 }), dataSet({ Temperature: 2 })]))).toHaveLength(2);
  expect(refused(decode([dataSet({ Temperature: "NaN" })]))).toEqual([["not-a-number", "/0/Payload/Temperature"]]);
});

test("a writer may be told by its name alone", () => {
  const one = decoderOf(`sources:
  - { id: GW-AO, topic: ao/#, format: opcua-json, map: [{ writer: Oven, field: T, series: AO-1/t1, unit: Cel }] }
`);
  const named = { DataSetWriterName: "Oven", Timestamp, Payload: { T: 61.5 } };
  expect(taken(one.decode(rawMessage("ao/1", named)))).toEqual([["AO-1/t1", 0, 61.5, "good"]]);
  const other = one.decode(rawMessage("ao/1", { ...named, DataSetWriterId: 9 }));
  expect(refused(other)).toEqual([["unknown-series", "/Payload/T"]]);
});

test("metadata and keep-alives hold no readings, and a keep-alive still counts", () => {
  expect(decode({ MessageId: "1", MessageType: "ua-metadata" })).toMatchObject({ items: 0, rejections: [] });
  const alive = decode(network(dataSet(undefined, { MessageType: "ua-keepalive" }), dataSet(undefined)));
  expect([alive.items, alive.rejections, alive.counted?.length]).toEqual([0, [], 2]);
});

const refusals: readonly (readonly [code: string, place: string, message: unknown])[] = [
  ["not-json", "", "{"],
  ["not-utf8", "", new Uint8Array([0x22, 0xff, 0x22])],
  ["too-large", "", new Uint8Array(1_048_577)],
  ["not-an-object", "", 5],
  ["not-an-object", "/0", [5]],
  ["unknown-kind", "/MessageType", {}],
  ["unknown-kind", "/MessageType", { MessageType: "data", Messages: [] }],
  ["not-a-list", "/Messages", { MessageType: "ua-data" }],
  ["not-a-list", "/Messages", { MessageType: "ua-data", Messages: "none" }],
  ["not-an-object", "/Messages/0", network(5)],
  ["not-a-number", "/Messages/0/SequenceNumber", network(dataSet({}, { SequenceNumber: -1 }))],
  ["not-a-number", "/Messages/0/SequenceNumber", network(dataSet({}, { SequenceNumber: 2 ** 32 }))],
  ["unknown-kind", "/Messages/0/MessageType", network(dataSet({}, { MessageType: "ua-event" }))],
  ["not-an-object", "/Messages/0/Payload", network(dataSet([1]))],
  ["unknown-series", "/Messages/0/Payload/a~1b", network(dataSet({ "a/b": 1 }))],
  ["unknown-series", "/Messages/0/Payload/Temperature", network(dataSet({ Temperature: 1 }, { DataSetWriterId: 7 }))],
  ["unknown-quality", "/Messages/0/Payload/Temperature", network(dataSet({ Temperature: 1 }, { Status: "Good" }))],
  ["unknown-quality", "/Messages/0/Payload/Temperature", network(dataSet({ Temperature: { Value: 1, Status: -1 } }))],
  ["not-a-time", "/Messages/0/Payload/Temperature", network(dataSet({ Temperature: 1 }, { Timestamp: undefined }))],
  ["not-a-time", "/Messages/0/Payload/Temperature", network(dataSet({ Temperature: 1 }, { Timestamp: T0 }))],
  [
    "time-too-old",
    "/Messages/0/Payload/Temperature",
    network(dataSet({ Temperature: 1 }, { Timestamp: "1970-01-01T00:00:00Z" })),
  ],
  [
    "time-in-future",
    "/Messages/0/Payload/Temperature",
    network(dataSet({ Temperature: 1 }, { Timestamp: "2099-01-01T00:00:00Z" })),
  ],
  ["not-a-number", "/Messages/0/Payload/Temperature", network(dataSet({ Temperature: "NaN" }))],
  ["not-a-number", "/Messages/0/Payload/Temperature", network(dataSet({ Temperature: { X: 1, Y: 2 } }))],
  ["not-a-number", "/Messages/0/Payload/Temperature", network(dataSet({ Temperature: [1, 2] }))],
  ["not-a-number", "/Messages/0/Payload/Temperature", network(dataSet({ Temperature: true }))],
  [
    "not-a-number",
    "/Messages/0/Payload/Temperature",
    JSON.stringify(network(dataSet({ Temperature: 71.5 }))).replace("71.5", "1e400"),
  ],
  ["value-missing", "/Messages/0/Payload/Active", network(dataSet({ Active: true }, { Status: 0x80000000 }))],
];
test.each(refusals)("%s at %j", (code, place, message) => {
  const decoded = decode(message);
  expect(decoded.rejections).toEqual([{ code, place, detail: expect.stringMatching(/^.{5,300}$/s) }]);
  expect([decoded.samples, decoded.items]).toEqual([[], 1]);
});

test("braces nested deep are refused in few words", () => {
  const deep = `${"[".repeat(100_000)}${"]".repeat(100_000)}`;
  const text = JSON.stringify(network(dataSet({ Temperature: 71.5 }))).replace("71.5", deep);
  expect(refused(decode(text))).toEqual([["not-a-number", "/Messages/0/Payload/Temperature"]]);
});
