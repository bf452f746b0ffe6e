import { expect, test } from "vitest";
import { senmlUnit } from "../../../collector/decode/senml-units.ts";
import { convert } from "../../../spc/units/ucum.ts";
import { T0 } from "./decoding.ts";
import { decoderOf, rawMessage, refused, taken } from "./formats.ts";

const decoder = decoderOf();
const bn = "urn:dev:ow:10e2073a01080063:";
const seconds = T0 / 1000;
const decode = (payload: unknown, changes = {}) =>
  decoder.decode(rawMessage("ostrimvale/GW-DR/senml", payload, changes));
const rh = (changes: object = {}) => ({ bn, n: "supply-rh", u: "%RH", t: seconds, v: 41.5, ...changes });

test("a record becomes a sample in the unit of its series, with the time of the sender", () => {
  const decoded = decode([rh({ t: seconds - 2 }), { n: "supply-t", u: "K", t: seconds, v: 323.15 }]);
  expect(decoded).toMatchObject({ source: "GW-DR", sequence: null, rejections: [], items: 2, samplesPerItem: 1 });
  expect(taken(decoded)).toEqual([
    ["DR-1/supply-rh", -2000, 41.5, "good"],
    ["DR-1/supply-t", 0, 50, "good"],
  ]);
});

test("a percentage called % is a ratio: 0.415 of it is 41.5 %", () => {
  expect(taken(decode([rh({ u: "%", v: 0.415 })]))).toEqual([["DR-1/supply-rh", 0, 41.5, "good"]]);
  expect(taken(decode([rh({ u: "/", v: 0.415 })]))).toEqual([["DR-1/supply-rh", 0, 41.5, "good"]]);
});

test("times below 2^28 count from the arrival, backwards and forwards, and a missing time is now", () => {
  const times = (t: unknown, bt?: unknown) => taken(decode([rh({ t, bt })])).map(([, after]) => after);
  expect(times(-5)).toEqual([-5000]);
  expect(times(0.25)).toEqual([250]);
  expect(times(undefined)).toEqual([0]);
  expect(times(-1.5, seconds)).toEqual([-1500]);
  expect(times(undefined, -3)).toEqual([-3000]);
  expect(times(2 ** 28 - 1)).toEqual([]);
});

test("base values hold until the next of their kind, and a record of base values alone is no reading", () => {
  const decoded = decode([
    { bn, bt: seconds, bu: "%RH", bv: 40 },
    { n: "supply-rh", v: 1.5 },
    { n: "supply-rh", t: 1 },
    { n: "supply-rh", t: 2, bv: 0, v: 3 },
    { bu: "Cel", n: "supply-t", t: 3, v: 50 },
  ]);
  expect(taken(decoded)).toEqual([
    ["DR-1/supply-rh", 0, 41.5, "good"],
    ["DR-1/supply-rh", 2000, 3, "good"],
    ["DR-1/supply-t", 3000, 50, "good"],
  ]);
  // A base value alone is no measurement: one value must stand in the record.
  expect([refused(decoded), decoded.items]).toEqual([[["value-missing", "/2/v"]], 4]);
});

test("a unit that no record carries is the one of the settings, where they say one", () => {
  expect(taken(decode([rh({ n: "supply-t", u: undefined, v: 50 })]))).toEqual([["DR-1/supply-t", 0, 50, "good"]]);
  expect(refused(decode([rh({ u: undefined })]))).toEqual([["unknown-unit", "/0/u"]]);
});

test("an event takes true and false and numbers", () => {
  const load = (changes: object) => decode([rh({ n: "load", u: undefined, v: undefined, ...changes })]);
  expect(taken(load({ vb: true }))).toEqual([["DR-1/load", 0, 1, "good"]]);
  expect(taken(load({ vb: false }))).toEqual([["DR-1/load", 0, 0, "good"]]);
  expect(taken(load({ v: 1, u: "/" }))).toEqual([["DR-1/load", 0, 1, "good"]]);
  expect(refused(load({ vs: "start" }))).toEqual([["not-a-number", "/0/vs"]]);
  expect(refused(load({ vb: 1 }))).toEqual([["not-a-number", "/0/vb"]]);
});

test("versions up to 10 and with secondary units are understood", () => {
  for (const bver of [5, 10, 26]) expect(refused(decode([rh({ bver })]))).toEqual([]);
  expect(taken(decode([rh({ n: "supply-t", u: "K", v: 300, bver: 26 })]))[0]?.[2]).toBeCloseTo(26.85, 9);
});

test("each SenML unit that we know is a UCUM code that we can convert", () => {
  const registered = ["Pa", "hPa", "K", "Cel", "/", "%", "/100", "count", "%RH", "m/s2", "m/s", "s", "ms", "min", "h"];
  for (const unit of [...registered, "g", "kg", "kg/m3", "m", "mm", "Hz", "1/s", "1/min", "A", "mA", "N"]) {
    const code = senmlUnit(unit)!;
    expect(convert(1, code, code), unit).toBe(1);
  }
  for (const unit of ["bar", "kPa", "degF", "W", "%EL", "constructor", ""]) expect(senmlUnit(unit)).toBeUndefined();
});

const refusals: readonly (readonly [code: string, place: string, message: unknown])[] = [
  ["not-json", "", "["],
  ["not-json", "", '[{"v":NaN}]'],
  ["not-utf8", "", new Uint8Array([0x5b, 0xff, 0x5d])],
  ["too-large", "", new Uint8Array(1_048_577)],
  ["not-a-list", "", {}],
  ["not-a-list", "", []],
  ["not-a-list", "", new Array(10_001).fill(1)],
  ["not-an-object", "/0", [3]],
  ["unknown-version", "/0/bver", [rh({ bver: 11 })]],
  ["unknown-version", "/0/bver", [rh({ bver: 42 })]],
  ["unknown-version", "/1/bver", [rh(), rh({ bver: "10" })]],
  ["unknown-label", "/0", [rh({ encrypted_: 1 })]],
  ["not-a-text", "/0/n", [rh({ bn: "", n: undefined })]],
  ["not-a-text", "/0/n", [rh({ n: 5 })]],
  ["not-a-text", "/0/n", [rh({ n: null })]],
  ["not-a-text", "/0/bn", [rh({ bn: 5 })]],
  ["unknown-series", "/0/n", [rh({ n: "exhaust" })]],
  ["unknown-series", "/0/n", [rh({ n: "__proto__", bn: undefined })]],
  ["value-missing", "/0/v", [rh({ v: undefined })]],
  ["value-missing", "/0/v", [rh({ v: undefined, s: 5 })]],
  ["two-values", "/0/vb", [rh({ vb: true })]],
  ["not-a-number", "/0/v", [rh({ v: "41.5" })]],
  ["not-a-number", "/0/v", [rh({ v: null })]],
  ["not-a-number", "/0/v", JSON.stringify([rh()]).replace("41.5", "1e400")],
  ["not-a-number", "/0/v", JSON.stringify([rh({ bv: 1e308 })]).replace("41.5", "1e308")],
  ["not-a-number", "/0/bv", [rh({ bv: "1" })]],
  ["not-a-number", "/0/vb", [rh({ v: undefined, vb: true })]],
  ["not-a-number", "/0/vs", [rh({ v: undefined, vs: "41.5" })]],
  ["not-a-number", "/0/vd", [rh({ v: undefined, vd: "aGkgCg" })]],
  ["not-a-time", "/0/t", [rh({ t: "now" })]],
  ["not-a-time", "/0/bt", [rh({ bt: null })]],
  ["time-too-old", "/0/t", [rh({ t: 315_532_800 })]],
  ["time-too-old", "/0/t", [rh({ t: -seconds })]],
  ["time-in-future", "/0/t", [rh({ t: 4_070_908_800 })]],
  ["time-in-future", "/0/t", [rh({ t: 1e300 })]],
  ["unknown-unit", "/0/u", [rh({ u: "furlong" })]],
  ["unknown-unit", "/0/u", [rh({ u: "Cel" })]],
  ["unknown-unit", "/0/u", [rh({ u: "bar" })]],
  ["unknown-unit", "/0/u", [rh({ u: 7 })]],
  ["unknown-unit", "/0/bu", [rh({ u: undefined, bu: {} })]],
  ["unknown-unit", "/0/u", [rh({ n: "load", u: "Cel", v: 1 })]],
];
test.each(refusals)("%s at %j", (code, place, message) => {
  const decoded = decode(message);
  expect(decoded.rejections).toEqual([{ code, place, detail: expect.stringMatching(/^.{5,300}$/s) }]);
  expect([decoded.samples, decoded.items]).toEqual([[], 1]);
});

test("a retained pack is a last-known value", () => {
  expect(refused(decode([rh()], { retained: true }))).toEqual([["retained", ""]]);
});

test("a base value that cannot be read refuses what rests on it, and only that", () => {
  const decoded = decode([
    rh({ bt: "x", t: undefined }),
    { n: "supply-rh", u: "%RH", v: 1 },
    { n: "supply-rh", u: "%RH", v: 2, bt: seconds },
  ]);
  expect(refused(decoded)).toEqual([
    ["not-a-time", "/0/bt"],
    ["not-a-time", "/0/bt"],
  ]);
  expect(taken(decoded)).toEqual([["DR-1/supply-rh", 0, 2, "good"]]);
});

test("a time in 1970 cannot be told from a relative one: only its distance from now gives it away", () => {
  expect(refused(decode([rh({ t: 86_400 * 3 })]))).toEqual([["time-in-future", "/0/t"]]);
});

test("with others: ignore, names that are not mapped are passed over", () => {
  const source = `sources:
  - id: GW-DR
    topic: x/#
    format: senml
    others: ignore
    map: [{ name: a, series: DR-1/supply-rh }]
`;
  const decoded = decoderOf(source).decode(rawMessage("x/y", [rh(), { bn: "", n: "a", u: "%RH", v: 1 }]));
  expect([taken(decoded), refused(decoded), decoded.items]).toEqual([[["DR-1/supply-rh", 0, 1, "good"]], [], 1]);
});
