import { expect, test } from "vitest";
import { T0 } from "./decoding.ts";
import { decoderOf, rawMessage, refused, siteOf, taken } from "./formats.ts";
import { bdSeq, edgeNode, encoded, type Metric, serial, step } from "./sparkplug.ts";

const site = siteOf();
const fresh = () => edgeNode(decoderOf());

function alive(...metrics: Metric[]) {
  const node = fresh();
  node.nodeBirth();
  node.birth(...metrics);
  return node;
}
/** What DATA carry: the alias and the value. */
const alias = (number: number, value: unknown, type: string, more: object = {}): Metric =>
  ({ alias: number, type, value, timestamp: T0 + 50, ...more }) as Metric;

test("values of a birth are readings, and what the settings do not name is only remembered", () => {
  expect(site.sources.find(({ id }) => id === "GW-PR")?.format).toBe("sparkplug-b");
  const node = fresh();
  const born = node.nodeBirth(0, { name: "Header/Pressure", type: "Double", value: 1.25, timestamp: T0 - 1 });
  expect([taken(born), born.items]).toEqual([[["PR-04/pressure", -1, 1.25, "good"]], 1]);
  const device = node.birth();
  expect(device).toMatchObject({ source: "GW-PR", rejections: [], items: 2 });
  expect(taken(device)).toEqual([
    ["PR-01/pressure", 0, expect.closeTo(0.905, 9), "good"],
    ["PR-01/step", 0, 5, "good"],
  ]);
});

test("data are read by the aliases and types of the birth", () => {
  const node = alive();
  const data = node.data(alias(3, 88.5, "Float"), alias(4, 6, "Int16"));
  expect(taken(data)).toEqual([
    ["PR-01/pressure", 50, expect.closeTo(0.885, 9), "good"],
    ["PR-01/step", 50, 6, "good"],
  ]);
  expect(taken(node.data({ name: "Step", type: "Int16", value: 7, timestamp: T0 }))).toEqual([
    ["PR-01/step", 0, 7, "good"],
  ]);
});

test("seq is handed on, anew with each NBIRTH", () => {
  const node = fresh();
  const seen = [node.nodeBirth(), node.birth(), node.data(alias(4, 6, "Int16")), node.nodeBirth(1)];
  expect(seen.map(({ counted }) => counted)).toEqual(
    [0, 1, 2, 0].map((number, i) => [{ stream: "GW-PR", number, wraps: 256, anew: i === 0 || i === 3 }]),
  );
});

test("data before their birth are refused one by one, and the rejection says what would help", () => {
  const node = fresh();
  const early = node.data(alias(3, 88.5, "Float"), alias(4, 6, "Int16"));
  expect([refused(early), early.items, early.samples]).toEqual([
    [
      ["birth-missing", "/metrics/0"],
      ["birth-missing", "/metrics/1"],
    ],
    2,
    [],
  ]);
  expect(early.rejections[0]!.detail).toMatch(/a rebirth would help.*nothing is sent from here/);
  expect(early.counted).toHaveLength(1);
  // A device's birth without its node's is of a connection that we have not seen begin.
  expect(refused(node.birth())[0]).toEqual(["birth-missing", "/metrics/0"]);
  node.nodeBirth();
  expect(refused(node.data(alias(3, 88.5, "Float")))).toEqual([["birth-missing", "/metrics/0"]]);
  node.birth();
  expect(refused(node.data(alias(3, 88.5, "Float")))).toEqual([]);
});

test("a restart forgets the births: data wait for the next one", () => {
  alive();
  expect(refused(fresh().data(alias(3, 88.5, "Float")))).toEqual([["birth-missing", "/metrics/0"]]);
});

test("the death of a device ends its readings with a bad one, at the time it says", () => {
  const node = alive();
  const death = node.death({ timestamp: T0 + 400 });
  expect([taken(death), death.items]).toEqual([[["PR-01/pressure", 400, null, "bad"]], 1]);
  expect(refused(node.data(alias(3, 1, "Float")))).toEqual([["birth-missing", "/metrics/0"]]);
  expect(node.death().items).toBe(0);
});

test("the death of a node ends the readings of all its devices, when it arrives", () => {
  const node = fresh();
  node.nodeBirth(9, { name: "Header/Pressure", type: "Double", value: 1.25, timestamp: T0 });
  node.birth();
  expect(taken(node.nodeDeath(9))).toEqual([
    ["PR-04/pressure", 0, null, "bad"],
    ["PR-01/pressure", 0, null, "bad"],
  ]);
  expect(refused(node.nodeData({ name: "Header/Pressure", type: "Double", value: 1 }))).toEqual([
    ["birth-missing", "/metrics/0"],
  ]);
  expect(node.nodeDeath(9)).toMatchObject({ items: 0, rejections: [] });
});

test("a node's death is stamped by its own clock, so that what it sends after it is not late", () => {
  const node = fresh();
  const behindMs = 600_000;
  const at = (ms: number, receivedMs: number, type: string, metrics: Parameters<typeof encoded>[0], seq: number) =>
    node.send(type, encoded(metrics, { seq, timestamp: T0 + ms - behindMs }), "", { receivedMs: T0 + receivedMs });
  const header = { name: "Header/Pressure", type: "Double", value: 1.25, timestamp: T0 - 7_200_000 } as const;
  at(0, 50, "NBIRTH", [bdSeq(9), header], 0);
  // The will says when the connection began; that it ended is known 20 s later.
  const death = at(0, 20_050, "NDEATH", [bdSeq(9)], 0);
  expect(taken(death)).toEqual([["PR-04/pressure", 20_000 - behindMs, null, "bad"]]);
  // A clock that was never set tells nothing.
  const unset = fresh();
  unset.send("NBIRTH", encoded([bdSeq(1), header], { seq: 0, timestamp: 5_000 }), "", { receivedMs: T0 });
  const later = unset.send("NDEATH", encoded([bdSeq(1)]), "", { receivedMs: T0 + 7 });
  expect(taken(later)).toEqual([["PR-04/pressure", 7, null, "bad"]]);
});

test("a death of another session changes nothing", () => {
  const node = fresh();
  node.nodeBirth(9);
  node.birth();
  expect(node.nodeDeath(8)).toMatchObject({ items: 0, samples: [], rejections: [] });
  expect(refused(node.data(alias(3, 88.5, "Float")))).toEqual([]);
  expect(refused(node.send("NDEATH", encoded([])))).toEqual([["value-missing", "/metrics"]]);
});

test("a new NBIRTH makes the devices' births void", () => {
  const node = alive();
  node.nodeBirth(1);
  expect(refused(node.data(alias(3, 88.5, "Float")))).toEqual([["birth-missing", "/metrics/0"]]);
});

test("null is a bad reading, quality is read, historical is stored, transient is not", () => {
  const quality = (value: number): object => ({ properties: { Quality: { type: "Int32", value } } });
  const node = alive();
  const one = (more: object, value: unknown = 88.5) => node.data(alias(3, value, "Float", more));
  expect(taken(one({ isNull: true }, null))).toEqual([["PR-01/pressure", 50, null, "bad"]]);
  expect(taken(one(quality(0)))[0]?.[3]).toBe("bad");
  expect(taken(one(quality(192)))[0]?.[3]).toBe("good");
  expect(taken(one(quality(500)))[0]?.[3]).toBe("uncertain");
  expect(refused(one(quality(7)))).toEqual([["unknown-quality", "/metrics/0/properties"]]);
  expect(taken(one({ isHistorical: true, timestamp: T0 - 3_600_000 }))[0]?.[1]).toBe(-3_600_000);
  expect(refused(one({ isTransient: true }))).toEqual([["transient", "/metrics/0"]]);
  expect(refused(node.data(alias(4, null, "Int16", { isNull: true })))).toEqual([
    ["value-missing", "/metrics/0/value"],
  ]);
});

test("a metric without a timestamp has that of its message", () => {
  const node = alive();
  expect(taken(node.data(alias(4, 6, "Int16", { timestamp: undefined })))).toEqual([["PR-01/step", 0, 6, "good"]]);
});

test.each<[type: string, value: unknown, found: number | null]>([
  ["Int8", -7, -7],
  ["Int16", -700, -700],
  ["Int32", -70_000, -70_000],
  ["Int64", -7_000_000_000, -7_000_000_000],
  ["UInt8", 255, 255],
  ["UInt16", 65_535, 65_535],
  ["UInt32", 4_294_967_295, 4_294_967_295],
  ["UInt64", 7_000_000_000, 7_000_000_000],
  ["Double", 0.1, 0.1],
  ["Boolean", true, 1],
  ["Int8", 300, null],
  ["UInt8", 256, null],
  ["Double", Number.NaN, null],
  ["Float", Number.POSITIVE_INFINITY, null],
  ["String", "5", null],
  ["DateTime", T0, null],
  ["Bytes", new Uint8Array([5]), null],
])("%s %s comes out as %s", (type, value, found) => {
  const node = alive({ ...step, type, value } as Metric);
  const decoded = node.data(alias(4, value, type));
  expect(decoded.samples.map((sample) => sample.value)).toEqual(found === null ? [] : [found]);
  expect(refused(decoded)).toEqual(found === null ? [["not-a-number", "/metrics/0/value"]] : []);
});

test("what a birth did not give, gave twice, or the settings do not name is refused", () => {
  const sources = `sources:
  - id: GW-PR
    topic: spBv1.0/ostrimvale/+/GW-PR/#
    format: sparkplug-b
    map: [{ device: PR-01, metric: Step, series: PR-01/step }, { device: PR-01, metric: Other, series: PR-02/step }]
`;
  const node = edgeNode(decoderOf(sources));
  node.nodeBirth();
  node.birth(step, serial, { ...step, name: "Other", alias: 6 }, { ...step, name: "Third", alias: 6 });
  const codes = (...metrics: Metric[]) => refused(node.data(...metrics));
  expect(codes(alias(77, 5, "Int16"))).toEqual([["not-in-birth", "/metrics/0"]]);
  expect(codes({ name: "Nobody", type: "Int16", value: 5 })).toEqual([["not-in-birth", "/metrics/0"]]);
  expect(codes({ ...step, name: "Stop" })).toEqual([["not-in-birth", "/metrics/0"]]);
  expect(codes(alias(6, 5, "Int16"))).toEqual([["alias-twice", "/metrics/0"]]);
  expect(codes(alias(5, "A1", "String"))).toEqual([["unknown-series", "/metrics/0"]]);
  expect(codes({ value: null, type: "Int16" })).toEqual([["not-in-birth", "/metrics/0"]]);
  expect(refused(node.send("DDATA", encoded([step], { seq: 9 }), "PR-77"))).toEqual([["unknown-series", ""]]);
  expect(refused(node.nodeData(step))).toEqual([["unknown-series", ""]]);
});

test("with others: ignore, what the settings do not name is passed over", () => {
  const node = alive();
  expect(node.data(alias(5, "A1", "String"))).toMatchObject({ items: 0, rejections: [] });
  expect(node.send("DDATA", encoded([step], { seq: 9 }), "PR-77")).toMatchObject({ items: 0, rejections: [] });
});

test("data without a value are refused", () => {
  // The public encoder cannot leave a value out: a metric of nothing but alias 4, behind what it writes.
  const bytes = Uint8Array.from([...encoded([], { seq: 2 }), 0x12, 0x02, 0x10, 0x04]);
  expect(refused(alive().send("DDATA", bytes, "PR-01"))).toEqual([["not-a-number", "/metrics/0/value"]]);
});

test("times that cannot be true are refused", () => {
  const node = alive();
  const at = (timestamp: number) => refused(node.data(alias(4, 6, "Int16", { timestamp })));
  expect(at(0)).toEqual([["time-too-old", "/metrics/0/timestamp"]]);
  expect(at(Date.UTC(2099, 0, 1))).toEqual([["time-in-future", "/metrics/0/timestamp"]]);
  // Alias 4 as the number 6, without any time; seq 3.
  const timeless = node.send("DDATA", Uint8Array.from([0x12, 0x04, 0x10, 0x04, 0x50, 0x06, 0x18, 0x03]), "PR-01");
  expect(refused(timeless)).toEqual([["not-a-time", "/metrics/0/timestamp"]]);
});

test("seq must be there and below 256", () => {
  const node = alive();
  for (const seq of [undefined, 256, 4_000_000_000]) {
    expect(refused(node.send("DDATA", encoded([alias(4, 6, "Int16")], { seq }), "PR-01"))).toEqual([
      ["not-a-number", "/seq"],
    ]);
  }
});

test.each([
  ["spBv1.0/ostrimvale/DDATA/GW-PR", "unknown-kind"],
  ["spBv1.0/ostrimvale/NDATA/GW-PR/PR-01", "unknown-kind"],
  ["spBv1.0/ostrimvale/XDATA/GW-PR/PR-01", "unknown-kind"],
  ["spBv1.0/ostrimvale/DDATA/GW-PR/PR-01/x", "unknown-kind"],
  ["spBv1.0/ostrimvale/NCMD/GW-PR", null],
  ["spBv1.0/ostrimvale/DCMD/GW-PR/PR-01", null],
])("the topic %s gives %s", (topic, code) => {
  const wide = decoderOf(`sources:
  - id: GW-PR
    topic: spBv1.0/ostrimvale/#
    format: sparkplug-b
    map: [{ edge: GW-PR, metric: Step, series: PR-01/step }]
`);
  const decoded = wide.decode(rawMessage(topic, encoded([step], { seq: 0 })));
  expect(decoded.rejections.map((one) => one.code)).toEqual(code === null ? [] : [code]);
  expect(decoded.items).toBe(code === null ? 0 : 1);
});

test("an edge node that the settings do not name is refused by its data, not by its births", () => {
  const wide = decoderOf(`sources:
  - id: GW-PR
    topic: spBv1.0/ostrimvale/#
    format: sparkplug-b
    map: [{ edge: GW-PR, metric: Step, series: PR-01/step }]
`);
  const send = (type: string) =>
    wide.decode(rawMessage(`spBv1.0/ostrimvale/${type}/E-9`, encoded([bdSeq(0)], { seq: 0 })));
  expect(refused(send("NBIRTH"))).toEqual([]);
  expect(refused(send("NDATA"))).toEqual([["unknown-series", ""]]);
});

test.each<[what: string, bytes: readonly number[]]>([
  ["a length beyond the end", [0x12, 0x7f, 0x01]],
  ["a length beyond 32 bits", [0x12, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0x01]],
  ["a number that does not end", [0x08, 0xff, 0xff, 0xff]],
  ["a number of more than ten bytes", [0x08, ...new Array(11).fill(0x80), 0x01]],
  ["field number nought", [0x00, 0x01]],
  ["a group", [0x0b, 0x0c]],
  ["half a double", [0x12, 0x03, 0x69, 0x00, 0x00]],
  ["a name that is no text", [0x12, 0x03, 0x0a, 0x01, 0xff]],
  ["properties of unequal number", [0x12, 0x05, 0x4a, 0x03, 0x0a, 0x01, 0x61]],
])("%s is no message", (_what, bytes) => {
  const decoded = fresh().send("NBIRTH", Uint8Array.from(bytes));
  expect([refused(decoded), decoded.items]).toEqual([[["not-protobuf", ""]], 1]);
});

test("too many metrics, a body, a retained message and one too large are refused whole", () => {
  const node = fresh();
  const many = Uint8Array.from({ length: 2 * 10_001 }, (_, i) => (i % 2 === 0 ? 0x12 : 0x00));
  expect(refused(node.send("NBIRTH", many))).toEqual([["not-protobuf", ""]]);
  expect(refused(node.send("NBIRTH", encoded([], { body: new Uint8Array([1]), seq: 0 })))).toEqual([
    ["unknown-encoding", "/body"],
  ]);
  expect(refused(node.send("NBIRTH", new Uint8Array(0), "", { retained: true }))).toEqual([["retained", ""]]);
  expect(refused(node.send("NBIRTH", new Uint8Array(1_048_577)))).toEqual([["too-large", ""]]);
});

test("unknown fields are passed over", () => {
  const node = alive();
  // Field 100 of each wire type before a good payload.
  const strange = [
    0xa0, 0x06, 0x05, 0xa2, 0x06, 0x01, 0x00, 0xa1, 0x06, 0, 0, 0, 0, 0, 0, 0, 0, 0xa5, 0x06, 0, 0, 0, 0,
  ];
  const bytes = Uint8Array.from([...strange, ...encoded([alias(4, 6, "Int16")], { seq: 2 })]);
  expect(taken(node.send("DDATA", bytes, "PR-01"))).toEqual([["PR-01/step", 50, 6, "good"]]);
});
