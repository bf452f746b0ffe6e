import { expect, test } from "vitest";
import { decoderOf, rawMessage, refused } from "../../unit/decode/formats.ts";

// Examples of OPC 10000-14 (v1.05), annexes A.3.3.5 and A.3.4.5, reference.opcfoundation.org, as printed there.

const receivedMs = Date.parse("2021-09-27T18:45:20Z");
const decoder = decoderOf(`sources:
  - id: GW-AO
    topic: oven
    format: opcua-json
    map:
      - { writer: 101, field: Temperature, series: AO-1/t1, unit: Cel }
      - { writer: 101, field: Active, series: AO-1/door }
      - { writer: 103, field: Int64Value, series: AO-1/t2, unit: Cel }
      - { writer: 103, field: BooleanValue, series: AO-1/load }
    others: ignore
`);
const decode = (message: unknown) => decoder.decode(rawMessage("oven", message, { receivedMs }));
const sentMs = Date.parse("2021-09-27T18:45:19.555Z");
const sourceMs = Date.parse("2021-09-27T11:32:38.349Z");

test("A.3.4.5: three DataSetMessages in one network message", () => {
  const Timestamp = "2021-09-27T18:45:19.555Z";
  const common = { MinorVersion: 672_341_762, Timestamp };
  const decoded = decode({
    MessageId: "9279c0b3-da88-45a4-af74-451cebf82db0",
    MessageType: "ua-data",
    PublisherId: "MyPublisher",
    Messages: [
      {
        DataSetWriterId: 101,
        SequenceNumber: 68_468,
        ...common,
        Payload: {
          Active: true,
          Temperature: 25.5,
          Counter: 0,
          AdditionalInfo: "The system is running normally (1)",
        },
      },
      {
        DataSetWriterId: 102,
        SequenceNumber: 25_460,
        ...common,
        Status: { Code: 1_073_741_824 },
        Payload: { LocationName: "Building A", Coordinate: { X: 0, Y: 0.2 }, Measurements: [20_030, 20_020, 20_010] },
      },
      {
        DataSetWriterId: 103,
        SequenceNumber: 66_915,
        ...common,
        Payload: {
          BooleanValue: false,
          Int32Value: 0,
          Int64Value: "1",
          UInt32Value: 1,
          UInt64Value: "1",
          DoubleValue: 0.5,
          DateTimeValue: "2021-09-14T07:14:30Z",
          StringValue: "String 1",
          GuidValue: "ebfc352a-3142-4b99-9bbe-89a517d6a77e",
          StatusCodeValue: { Code: 2_147_483_648, Symbol: "Bad" },
        },
      },
    ],
  });
  expect(refused(decoded)).toEqual([]);
  expect(decoded.samples).toEqual([
    { series: "AO-1/door", tMs: sentMs, value: 1, quality: "good" },
    { series: "AO-1/t1", tMs: sentMs, value: 25.5, quality: "good" },
    { series: "AO-1/load", tMs: sentMs, value: 0, quality: "good" },
    { series: "AO-1/t2", tMs: sentMs, value: 1, quality: "good" },
  ]);
  expect(decoded.counted?.map(({ stream, number }) => [stream, number])).toEqual([
    ["MyPublisher/101", 68_468],
    ["MyPublisher/102", 25_460],
    ["MyPublisher/103", 66_915],
  ]);
});

test("A.3.3.5: a DataSetMessage alone, its fields with their own time and status", () => {
  const decoded = decode({
    PublisherId: "MyPublisher",
    DataSetWriterId: 101,
    SequenceNumber: 68_468,
    MinorVersion: 672_341_762,
    Timestamp: "2021-09-27T18:45:19.555Z",
    Payload: {
      Active: {
        Value: true,
        Status: { Code: 1_073_741_824, Symbol: "Uncertain" },
        SourceTimestamp: "2021-09-27T11:32:38.349925Z",
      },
      Temperature: { Value: 25.5, SourceTimestamp: "2021-09-27T11:32:38.349925Z" },
    },
  });
  expect(refused(decoded)).toEqual([]);
  expect(decoded.samples).toEqual([
    { series: "AO-1/door", tMs: sourceMs, value: 1, quality: "uncertain" },
    { series: "AO-1/t1", tMs: sourceMs, value: 25.5, quality: "good" },
  ]);
});
