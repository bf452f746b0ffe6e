import fc from "fast-check";
import { expect, test } from "vitest";
import { instantMs } from "../../../collector/decode/instant.ts";
import { payloadV1Schema } from "../../../collector/decode/payload-v1-schema.ts";
import { decode, decoder, oneReading, readingsOf, T0, waveformOf } from "../../unit/decode/decoding.ts";
import { pathsOf, replaced } from "./mutate.ts";

/** What only the site's settings or the clock can tell; all other codes are of shape. */
const ofMeaning = new Set([
  "unknown-series",
  "wrong-source",
  "wrong-kind",
  "unknown-unit",
  "time-too-old",
  "time-in-future",
  "unknown-topic",
  "not-int16",
  "too-few-samples",
  "not-finite",
]);

const block = { series: "PR-01/pressure", t: T0, everyMs: 50, values: [0.9, null, 0.91], unit: "bar" };
const event = {
  v: 1,
  kind: "event",
  source: "GW-PR",
  series: "PR-01/step",
  t: T0,
  value: 5,
  attributes: { part: "A" },
};
const examples = [
  readingsOf(oneReading(), oneReading({ value: null, quality: "bad" }), block),
  event,
  waveformOf(new Int16Array(64), { source: "GW-PR" }),
];
const leaf = fc.oneof(
  fc.constantFrom(
    null,
    undefined,
    "",
    "bar",
    "good",
    "bad",
    "PR-01/step",
    "2026-02-30T00:00:00Z",
    "AAA=",
    "AAA",
    1,
    2,
    0,
    -1,
    1.5,
  ),
  fc.jsonValue({ maxDepth: 2 }),
);
/** A good message with one field anywhere replaced by something else. */
const mutated = fc
  .constantFrom(...examples)
  .chain((example) =>
    fc.tuple(fc.constantFrom(...pathsOf(example)), leaf).map(([path, value]) => replaced(example, path, value)),
  );

test("the decoder refuses by shape exactly what the published schema refuses", () => {
  fc.assert(
    fc.property(mutated, (message) => {
      const sent = JSON.parse(JSON.stringify(message ?? null));
      const codes = decode(sent).rejections.map((r) => r.code);
      expect(codes.every((code) => ofMeaning.has(code))).toBe(payloadV1Schema.safeParse(sent).success);
    }),
    { numRuns: 3000 },
  );
});

test("the decoder never throws, whatever the bytes, and counts at least one item", () => {
  const bytes = fc.oneof(
    fc.uint8Array({ maxLength: 200 }),
    fc.string().map((text) => new TextEncoder().encode(text)),
    fc.json().map((text) => new TextEncoder().encode(text)),
  );
  fc.assert(
    fc.property(bytes, (payload) => {
      const { rejections, samples, items } = decode(payload);
      expect(rejections.length).toBeGreaterThan(0);
      expect(samples).toEqual([]);
      expect(items).toBeGreaterThanOrEqual(1);
    }),
  );
});

test("every reading comes out as a sample or a rejection: none is lost, none made up", () => {
  const readings = fc.array(
    fc.oneof(
      fc.constant(oneReading()),
      leaf.map((value) => oneReading({ value })),
    ),
    { minLength: 1 },
  );
  fc.assert(
    fc.property(readings, (list) => {
      const { samples, rejections, items } = decode(readingsOf(...list));
      expect(samples.length + rejections.length).toBe(items);
      expect(items).toBe(list.length);
      expect(samples.every((s) => s.value === null || Number.isFinite(s.value))).toBe(true);
    }),
  );
});

test("an instant written by the standard library is read back", () => {
  fc.assert(
    fc.property(
      fc.date({ min: new Date("0000-01-01T00:00:00Z"), max: new Date("9999-12-31T23:59:59Z"), noInvalidDate: true }),
      (date) => {
        expect(instantMs(date.toISOString())).toBe(date.getTime());
      },
    ),
  );
});

test("decoding twice gives the same, so a repeated message is the same message", () => {
  fc.assert(
    fc.property(mutated, (message) => {
      const raw = { topic: "ostrimvale/GW-PR/x", payload: new TextEncoder().encode(JSON.stringify(message ?? null)) };
      const once = { ...raw, receivedMs: T0, retained: false, qos: 1 } as const;
      expect(decoder.decode(once)).toEqual(decoder.decode(once));
    }),
    { numRuns: 200 },
  );
});
