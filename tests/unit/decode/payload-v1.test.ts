import { expect, test } from "vitest";
import { messageBounds } from "../../../collector/decode/payload-v1-schema.ts";
import { decode, oneReading, onTable, readingsOf, T0, waveformOf } from "./decoding.ts";

test("a reading becomes a sample in the unit of its series", () => {
  expect(decode(readingsOf(oneReading()))).toEqual({
    source: "GW-PR",
    sequence: 1042,
    samples: [{ series: "PR-01/pressure", tMs: T0, value: 0.901, quality: "good" }],
    snapshots: [],
    rejections: [],
    items: 1,
    samplesPerItem: 1,
  });
  const converted = decode(readingsOf(oneReading({ value: 90, unit: "kPa", t: "2026-11-25T09:05:12.345+01:00" })));
  expect(converted.samples).toEqual([{ series: "PR-01/pressure", tMs: T0, value: 0.9, quality: "good" }]);
});

test("a bad reading may have no value", () => {
  const { samples, rejections } = decode(readingsOf(oneReading({ value: null, quality: "bad", t: T0 })));
  expect(samples).toEqual([{ series: "PR-01/pressure", tMs: T0, value: null, quality: "bad" }]);
  expect(rejections).toEqual([]);
});

test("a dense block is spread over its times and counts as all its values", () => {
  const block = { series: "PR-01/pressure", t: T0, everyMs: 50, values: [0.9, null, 0.91], unit: "bar" };
  const { samples, items } = decode(readingsOf(block, oneReading({ t: T0 + 1000 })));
  expect(items).toBe(4);
  expect(samples.map((s) => [s.tMs - T0, s.value, s.quality])).toEqual([
    [0, 0.9, "good"],
    [50, null, "bad"],
    [100, 0.91, "good"],
    [1000, 0.901, "good"],
  ]);
});

test("an event keeps its number and what ran there", () => {
  const event = { v: 1, kind: "event", source: "GW-PR", seq: 9, series: "PR-01/step", t: T0, value: 5 };
  expect(decode({ ...event, attributes: { part: "OFW-2107" } }).samples).toEqual([
    { series: "PR-01/step", tMs: T0, value: 5, quality: "good", attributes: { part: "OFW-2107" } },
  ]);
  expect(decode(event).samples).toEqual([{ series: "PR-01/step", tMs: T0, value: 5, quality: "good" }]);
});

test("a waveform becomes one sample of each reduced series, stamped with its start", () => {
  // 0.5 g at 30 Hz over an offset of 0.1 g: RMS 0.5 / sqrt 2, mean 0.1 (definitions of RMS and mean).
  const wave = Int16Array.from({ length: 2048 }, (_, i) => 500 * Math.sin((2 * Math.PI * 30 * i) / 2048) + 100);
  const { samples, items, samplesPerItem, rejections } = decode(waveformOf(wave), onTable);
  expect(rejections).toEqual([]);
  expect([items, samplesPerItem, samples.length]).toEqual([1, 8, 8]);
  expect(samples.every((s) => s.tMs === T0)).toBe(true);
  const value = (measure: string) => samples.find((s) => s.series === `CT-A1/vibration-z.${measure}`)?.value;
  expect(value("rms")).toBeCloseTo(0.5 / Math.SQRT2, 3);
  expect(value("dc")).toBeCloseTo(0.1, 3);
  expect(value("f1")).toBeCloseTo(30, 1);
});

test("one raw block is kept in each stretch, whichever message brings it, and again when it is repeated", () => {
  const wave = new Int16Array(2048).fill(7);
  const start = Math.ceil(T0 / 15_000) * 15_000 - 7_000;
  const kept = Array.from({ length: 30 }, (_, i) => start - 30_000 + i * 1000).flatMap((t) =>
    decode(waveformOf(wave, { t }), onTable).snapshots.map((s) => s.tMs),
  );
  expect(kept).toEqual([start - 23_000, start - 8_000]);
  const [snapshot] = decode(waveformOf(wave, { t: kept[0], unit: "m/s2", scale: 0.00980665 }), onTable).snapshots;
  expect(snapshot).toMatchObject({ series: "CT-A1/vibration-z", rateHz: 2048 });
  expect(snapshot!.scale).toBeCloseTo(0.001, 12);
  expect(snapshot!.samples.slice(0, 4)).toEqual(Buffer.from([7, 0, 7, 0]));
});

const refusals: readonly (readonly [code: string, place: string, message: unknown])[] = [
  ["unknown-series", "/readings/0/series", readingsOf(oneReading({ series: "PR-99/pressure" }))],
  ["unknown-series", "/readings/0/series", readingsOf(oneReading({ series: "__proto__" }))],
  ["wrong-source", "/readings/0/series", readingsOf(oneReading({ series: "AO-1/t1", unit: "Cel" }))],
  ["wrong-source", "/source", { ...readingsOf(oneReading()), source: "GW-AO" }],
  ["wrong-kind", "/readings/0/series", readingsOf(oneReading({ series: "PR-01/step" }))],
  ["unknown-unit", "/readings/0/unit", readingsOf(oneReading({ unit: "furlong" }))],
  ["unknown-unit", "/readings/0/unit", readingsOf(oneReading({ unit: "Cel" }))],
  ["not-a-number", "/readings/0/value", readingsOf(oneReading({ value: "0,9" }))],
  ["value-missing", "/readings/0/value", readingsOf(oneReading({ value: null }))],
  ["unknown-quality", "/readings/0/quality", readingsOf(oneReading({ quality: "fine" }))],
  ["not-a-time", "/readings/0/t", readingsOf(oneReading({ t: "2026-11-25 08:05:12" }))],
  ["not-a-time", "/readings/0/t", readingsOf(oneReading({ t: T0 + 0.5 }))],
  ["time-too-old", "/readings/0/t", readingsOf(oneReading({ t: 0 }))],
  ["time-in-future", "/readings/0/t", readingsOf(oneReading({ t: T0 + 86_400_001 }))],
  ["time-in-future", "/readings/0/t", readingsOf(oneReading({ t: Number.MAX_SAFE_INTEGER }))],
  ["not-a-text", "/readings/0/series", readingsOf(oneReading({ series: undefined }))],
  ["not-a-text", "/readings/0/unit", readingsOf(oneReading({ unit: 5 }))],
  ["not-an-object", "/readings/0", readingsOf([])],
  ["not-a-list", "/readings", { ...readingsOf(), readings: "none" }],
  ["not-a-list", "/readings", readingsOf()],
  ["not-a-list", "/readings/0/values", readingsOf(oneReading({ value: undefined, values: [], everyMs: 5 }))],
  ["value-and-values", "/readings/0/value", readingsOf(oneReading({ values: [1], everyMs: 5 }))],
  ["not-a-number", "/readings/0/values/1", readingsOf(oneReading({ value: undefined, values: [1, "2"], everyMs: 5 }))],
  ["not-a-number", "/readings/0/everyMs", readingsOf(oneReading({ value: undefined, values: [1], everyMs: 0 }))],
  [
    "time-in-future",
    "/readings/0/values/99",
    readingsOf(oneReading({ value: undefined, values: new Array(100).fill(1), everyMs: 3_600_000 })),
  ],
  ["unknown-version", "/v", { ...readingsOf(oneReading()), v: 2 }],
  ["unknown-kind", "/kind", { ...readingsOf(oneReading()), kind: "reading" }],
  ["not-a-text", "/source", { ...readingsOf(oneReading()), source: undefined }],
  ["not-a-number", "/seq", { ...readingsOf(oneReading()), seq: -1 }],
  ["not-an-object", "", []],
  ["not-json", "", new TextEncoder().encode("{")],
  ["not-json", "", new Uint8Array(0)],
  ["not-utf8", "", new Uint8Array([0x22, 0xff, 0x22])],
  ["too-large", "", new Uint8Array(messageBounds.bytes + 1)],
];
test.each(refusals)("%s at %j", (code, place, message) => {
  const { samples, rejections, items } = decode(message);
  expect(rejections).toEqual([{ code, place, detail: expect.stringMatching(/^.{5,300}$/s) }]);
  expect([samples, items]).toEqual([[], 1]);
});

const wave = new Int16Array(2048);
const axisPlace = "/axes/CT-A1~1vibration-z";
const waveRefusals: readonly (readonly [string, string, unknown])[] = [
  ["not-base64", axisPlace, { axes: { "CT-A1/vibration-z": "AAA" } }],
  ["not-int16", axisPlace, { axes: { "CT-A1/vibration-z": "AAAA" } }],
  ["too-few-samples", axisPlace, { axes: { "CT-A1/vibration-z": "AAA=" } }],
  ["unknown-series", "/axes/CT-A1~1vibration-q", { axes: { "CT-A1/vibration-q": "AAA=" } }],
  ["not-an-object", "/axes", { axes: {} }],
  ["not-a-number", "/rateHz", { rateHz: 0 }],
  ["not-a-number", "/scale", { scale: -1 }],
  ["unknown-unit", "/unit", { unit: "bar" }],
];
test.each(waveRefusals)("a waveform with %s at %j", (code, place, changes) => {
  const { samples, rejections } = decode(waveformOf(wave, changes as Record<string, unknown>), onTable);
  expect(rejections).toMatchObject([{ code, place }]);
  expect(samples).toEqual([]);
});

test("a retained message is no reading", () => {
  expect(decode(readingsOf(oneReading()), { retained: true })).toMatchObject({
    samples: [],
    rejections: [{ code: "retained" }],
  });
});

test("a topic that no source has is named", () => {
  const { rejections } = decode(readingsOf(oneReading()), { topic: "elsewhere/GW-PR" });
  expect(rejections).toMatchObject([{ code: "unknown-topic", detail: expect.stringContaining("elsewhere/GW-PR") }]);
  // Whatever stands in it: that it is none of ours is what helps.
  const others = decode({ online: true }, { topic: "spBv1.0/STATE/other" });
  expect(others.rejections).toMatchObject([{ code: "unknown-topic", place: "" }]);
});

test("nothing valid is lost beside what is refused", () => {
  const { samples, rejections, items } = decode(
    readingsOf(oneReading(), oneReading({ unit: "furlong" }), 7, oneReading({ t: T0 + 5 })),
  );
  expect(samples.map((s) => s.tMs - T0)).toEqual([0, 5]);
  expect(rejections.map((r) => r.place)).toEqual(["/readings/1/unit", "/readings/2"]);
  expect(items).toBe(4);
});

test.each(["v", "kind", "source", "seq", "readings"])("braces nested deep at %s are refused in few words", (key) => {
  const deep = `${"[".repeat(100_000)}${"]".repeat(100_000)}`;
  const { [key]: _, ...rest } = readingsOf(oneReading());
  const text = JSON.stringify(rest).replace("{", `{"${key}":${deep},`);
  const { rejections, samples } = decode(new TextEncoder().encode(text));
  expect(samples).toEqual([]);
  expect(rejections).toEqual([expect.objectContaining({ place: key === "readings" ? "/readings/0" : `/${key}` })]);
});
