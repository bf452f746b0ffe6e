import { get } from "sparkplug-payload";
import { expect, test } from "vitest";
import { readPayload } from "../../../collector/decode/sparkplug-payload.ts";
import { decoderOf, rawMessage } from "../../unit/decode/formats.ts";

// Examples of the Sparkplug 3.0 specification (eclipse-sparkplug/sparkplug, chapter 6, "Payload Representation on Host
// Applications"), encoded by the public encoder, and bytes made by hand from its protobuf definition.

const codec = get("spBv1.0")!;
const t = 1_486_144_502_122;
const metric = (name: string, type: string, value: unknown) => ({ name, timestamp: t, type, value });

test("the simple NBIRTH of the specification: ten metrics, of which the supply voltage is a reading", () => {
  const bytes = codec.encodePayload({
    timestamp: t,
    seq: 0,
    metrics: [
      metric("bdSeq", "UInt64", 0),
      metric("Node Control/Reboot", "Boolean", false),
      metric("Node Control/Rebirth", "Boolean", false),
      metric("Node Control/Next Server", "Boolean", false),
      metric("Node Control/Scan Rate", "Int64", 3000),
      metric("Properties/Hardware Make", "String", "Raspberry Pi"),
      metric("Properties/Hardware Model", "String", "Pi 3 Model B"),
      metric("Properties/OS", "String", "Raspbian"),
      metric("Properties/OS Version", "String", "Jessie with PIXEL/11.01.2017"),
      metric("Supply Voltage", "Float", 12.1),
    ],
  } as Parameters<typeof codec.encodePayload>[0]);
  const payload = readPayload(bytes);
  if (typeof payload === "string") throw new Error(payload);
  expect([payload.timestampMs, payload.seq, payload.metrics.length]).toEqual([t, 0, 10]);
  expect(payload.metrics.map(({ name, datatype }) => [name, datatype]).at(-1)).toEqual(["Supply Voltage", 9]);

  // No series is in volts; the voltage stands for a pressure in bar.
  const decoder = decoderOf(`sources:
  - id: GW-PR
    topic: "spBv1.0/Sparkplug B Devices/+/Raspberry Pi/#"
    format: sparkplug-b
    map: [{ metric: Supply Voltage, series: PR-01/pressure, unit: bar }]
`);
  const topic = "spBv1.0/Sparkplug B Devices/NBIRTH/Raspberry Pi";
  const { samples, rejections } = decoder.decode(rawMessage(topic, bytes, { receivedMs: t }));
  expect(rejections).toEqual([]);
  // The nearest 32-bit float to 12.1.
  expect(samples).toEqual([{ series: "PR-01/pressure", tMs: t, value: Math.fround(12.1), quality: "good" }]);
});

test("bytes made by hand from the definition: fields 1 to 7, 9, 10 and 13 of a metric", () => {
  // protobuf.dev, "Encoding": 150 is 96 01; tag = field << 3 | wire type.
  const quality = [0x0a, 0x07, ...Buffer.from("Quality"), 0x12, 0x05, 0x08, 0x03, 0x18, 0xf4, 0x03];
  const first = [
    [0x0a, 0x01, 0x61],
    [0x10, 0x96, 0x01],
    [0x18, 0xea, 0xf2, 0xf5, 0xa8, 0xa0, 0x2b],
    [0x20, 0x03],
    [0x28, 0x01],
    [0x30, 0x00],
    [0x38, 0x00],
    [0x4a, quality.length, ...quality],
    [0x50, 0xf9, 0xff, 0xff, 0xff, 0x0f],
  ].flat();
  const second = [0x10, 0x02, 0x69, 0x9a, 0x99, 0x99, 0x99, 0x99, 0x99, 0xb9, 0x3f];
  const bytes = [0x12, first.length, ...first, 0x12, second.length, ...second, 0x18, 0xff, 0x01];
  expect(readPayload(Uint8Array.from(bytes))).toEqual({
    timestampMs: null,
    seq: 255,
    hasBody: false,
    metrics: [
      {
        name: "a",
        alias: 150,
        timestampMs: t,
        datatype: 3,
        isHistorical: true,
        isTransient: false,
        isNull: false,
        quality: 500,
        // 4294967289 is -7 in 32 bits.
        value: { as: "integer", bits: { low: 4_294_967_289, high: 0 } },
      },
      {
        name: null,
        alias: 2,
        timestampMs: null,
        datatype: null,
        isHistorical: false,
        isTransient: false,
        isNull: false,
        quality: null,
        // 0.1 as IEEE 754: 0x3FB999999999999A.
        value: { as: "number", number: 0.1 },
      },
    ],
  });
});
