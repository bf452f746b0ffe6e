import fc from "fast-check";
import { expect, test } from "vitest";
import type { Decoded } from "../../../collector/decode/decoder.ts";
import { wireReader } from "../../../collector/decode/protobuf.ts";
import { T0 } from "../../unit/decode/decoding.ts";
import { decoderOf, rawMessage, siteOf } from "../../unit/decode/formats.ts";
import { bdSeq, encoded, pressure, serial, step } from "../../unit/decode/sparkplug.ts";
import { pathsOf, replaced } from "./mutate.ts";

const known = new Set(
  siteOf().stations.flatMap((station) =>
    Object.values(station.series).map((series) => `${series.source} ${series.id}`),
  ),
);

/** What every decoder promises of whatever comes: nothing is lost, nothing made up, and what is taken can be kept. */
function holds(decoded: Decoded): void {
  const { samples, rejections, items, source } = decoded;
  expect(samples.length + rejections.length).toBe(items);
  for (const { series, tMs, value, quality } of samples) {
    expect(known.has(`${source} ${series}`)).toBe(true);
    expect(Number.isSafeInteger(tMs)).toBe(true);
    expect(value === null ? quality === "bad" : Number.isFinite(value)).toBe(true);
  }
  for (const { code, detail } of rejections) {
    expect(code).toMatch(/^[a-z][a-z0-9-]+$/);
    expect(detail.length).toBeGreaterThan(4);
  }
  for (const { number, wraps } of decoded.counted ?? []) expect(number >= 0 && number < wraps).toBe(true);
}

const Timestamp = "2026-11-25T08:05:12.345Z";
const messages: Readonly<Record<string, readonly unknown[]>> = {
  "ostrimvale/GW-DR/x": [
    [
      { bn: "urn:dev:ow:10e2073a01080063:", bt: T0 / 1000, bu: "%RH", n: "supply-rh", v: 41.5 },
      { n: "supply-t", t: -1, u: "Cel", v: 50, bver: 10 },
      { n: "load", u: "/", vb: true },
    ],
  ],
  "ostrimvale/GW-AO/x": [
    {
      MessageId: "m",
      MessageType: "ua-data",
      PublisherId: "P",
      Messages: [
        { DataSetWriterId: 101, SequenceNumber: 5, Timestamp, Payload: { Temperature: 71.5, Active: true } },
        {
          DataSetWriterId: 9,
          Timestamp,
          Status: { Code: 0x40000000 },
          Payload: { Zone2: { Value: 158, SourceTimestamp: Timestamp } },
        },
      ],
    },
  ],
  "ostrimvale/GW-PO/x": [
    {
      n: 1,
      rows: [
        { tag: "TT-1", v: 7315, ts: T0 * 1000, q: 0 },
        { tag: "ZS-1", v: 1, ts: 0 },
      ],
    },
  ],
};
const topics = Object.keys(messages);
const sparkplugTopics = ["NBIRTH", "NDATA", "NDEATH"]
  .map((type) => `spBv1.0/ostrimvale/${type}/GW-PR`)
  .concat(["DBIRTH", "DDATA", "DDEATH"].map((type) => `spBv1.0/ostrimvale/${type}/GW-PR/PR-01`));

const leaf = fc.oneof(
  fc.constantFrom<unknown>(null, "", "NaN", "bar", "%RH", 0, -1, 1e308, -1e308, 2 ** 28, T0, {}, [], [[]], true, "-1"),
  fc.jsonValue({ maxDepth: 3 }),
);
const mutated = fc
  .constantFrom(...topics)
  .chain((topic) =>
    fc
      .constantFrom(...messages[topic]!)
      .chain((message) =>
        fc
          .array(fc.tuple(fc.constantFrom(...pathsOf(message)), leaf), { maxLength: 3 })
          .map(
            (changes) => [topic, changes.reduce((all, [path, value]) => replaced(all, path, value), message)] as const,
          ),
      ),
  );

test("whatever the bytes and the topic, each reading is taken or refused", () => {
  const decoder = decoderOf();
  const bytes = fc.oneof(
    fc.uint8Array({ maxLength: 300 }),
    fc.string().map((text) => new TextEncoder().encode(text)),
    fc.json().map((text) => new TextEncoder().encode(text)),
  );
  const topic = fc.oneof(
    fc.constantFrom(...topics, ...sparkplugTopics),
    fc.string().map((end) => `spBv1.0/ostrimvale/${end}/GW-PR/${end}`),
  );
  fc.assert(
    fc.property(topic, bytes, fc.boolean(), (where, payload, retained) =>
      holds(decoder.decode(rawMessage(where, payload, { retained }))),
    ),
    { numRuns: 3000 },
  );
});

test("good JSON with pieces replaced by anything is taken or refused piece by piece, twice alike", () => {
  const decoder = decoderOf();
  fc.assert(
    fc.property(mutated, ([topic, message]) => {
      const raw = rawMessage(topic, JSON.stringify(message) ?? "null");
      const decoded = decoder.decode(raw);
      holds(decoded);
      expect(decoder.decode(raw)).toEqual(decoded);
    }),
    { numRuns: 5000 },
  );
});

const birth = encoded([pressure, step, serial], { seq: 1 });
const frames: readonly (readonly [topic: string, payload: Uint8Array])[] = [
  [
    "spBv1.0/ostrimvale/NBIRTH/GW-PR",
    encoded([bdSeq(0), { name: "Header/Pressure", type: "Double", value: 1 }], { seq: 0 }),
  ],
  ["spBv1.0/ostrimvale/DBIRTH/GW-PR/PR-01", birth],
  ["spBv1.0/ostrimvale/DDATA/GW-PR/PR-01", encoded([{ alias: 3, type: "Float", value: 90.5 }], { seq: 2 })],
  ["spBv1.0/ostrimvale/DDATA/GW-PR/PR-01", encoded([{ alias: 4, type: "Int16", value: -5 }, pressure], { seq: 3 })],
  ["spBv1.0/ostrimvale/NDATA/GW-PR", encoded([{ name: "Header/Pressure", type: "Double", value: 1.5 }], { seq: 4 })],
  ["spBv1.0/ostrimvale/DDEATH/GW-PR/PR-01", encoded([], { seq: 5 })],
  ["spBv1.0/ostrimvale/NDEATH/GW-PR", encoded([bdSeq(0)])],
];

test("Sparkplug messages in any order, with bytes changed, cut off and doubled, are taken or refused", () => {
  const damage = fc.oneof(
    { weight: 4, arbitrary: fc.constant((bytes: Uint8Array) => bytes) },
    fc.tuple(fc.nat(200), fc.nat(255)).map(([at, byte]) => (bytes: Uint8Array) => {
      const copy = Uint8Array.from(bytes);
      if (copy.length > 0) copy[at % copy.length] = byte;
      return copy;
    }),
    fc.nat(200).map((at) => (bytes: Uint8Array) => bytes.subarray(0, at % (bytes.length + 1))),
    fc.constant((bytes: Uint8Array) => Uint8Array.from([...bytes, ...bytes])),
  );
  fc.assert(
    fc.property(fc.array(fc.tuple(fc.constantFrom(...frames), damage), { maxLength: 30 }), (sent) => {
      const decoder = decoderOf();
      for (const [[topic, payload], change] of sent) holds(decoder.decode(rawMessage(topic, change(payload))));
    }),
    { numRuns: 1500 },
  );
});

test("without damage every Sparkplug reading after its births is taken", () => {
  const whole = fc.array(fc.constantFrom(...frames.slice(2, 5)), { maxLength: 20 });
  fc.assert(
    fc.property(whole, (data) => {
      const decoder = decoderOf();
      const taken = [...frames.slice(0, 2), ...data].map(([topic, payload]) =>
        decoder.decode(rawMessage(topic, payload)),
      );
      expect(taken.flatMap(({ rejections }) => rejections)).toEqual([]);
    }),
    { numRuns: 200 },
  );
});

test("a varint of any 64 bits comes back, and no bytes make the reader run on", () => {
  fc.assert(
    fc.property(fc.bigInt({ min: 0n, max: 2n ** 64n - 1n }), (number) => {
      const bytes: number[] = [];
      for (let rest = number; ; rest >>= 7n) {
        bytes.push(Number(rest & 0x7fn) | (rest > 0x7fn ? 0x80 : 0));
        if (rest <= 0x7fn) break;
      }
      const { low, high } = wireReader(Uint8Array.from(bytes)).varint();
      expect((BigInt(high) << 32n) | BigInt(low)).toBe(number);
    }),
  );
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 60 }), (bytes) => {
      const reader = wireReader(bytes);
      let fields = 0;
      for (let at = reader.next(); at !== null; at = reader.next()) {
        reader.passOver(at.wire);
        fields += 1;
      }
      expect(fields).toBeLessThanOrEqual(bytes.length);
    }),
  );
});
