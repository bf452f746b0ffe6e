import { pathsOf, replaced } from "../property/decode/mutate.ts";
import { bdSeq, encoded } from "../unit/decode/sparkplug.ts";

export interface FuzzMessage {
  readonly topic: string;
  readonly payload: Buffer;
}

type Chance = () => number;

/** How many messages back one may be repeated. */
const REMEMBERED = 300;
const LARGE_EVERY = 4_000;
const bn = "urn:dev:ow:10e2073a01080063:";

/** Messages of every format without end, the same for the same seed: good ones, repeats, damaged ones, hostile ones. */
export function* fuzzMessages(seed: number, nowMs: number): Generator<FuzzMessage, never> {
  const chance = chances(seed);
  const recent: FuzzMessage[] = [];
  yield sparkplugBirth(nowMs);
  yield deviceBirth(nowMs);
  for (let i = 1; ; i++) {
    const message = i % LARGE_EVERY === 0 ? large(chance) : next(i, nowMs, chance, recent);
    if (recent.length < REMEMBERED) recent.push(message);
    else recent[i % REMEMBERED] = message;
    yield message;
  }
}

function next(i: number, nowMs: number, chance: Chance, recent: readonly FuzzMessage[]): FuzzMessage {
  // Back from now, so that none is ahead of the product's clock, over some hours: late ones and ordinary ones.
  const tMs = nowMs - 6 * 3_600_000 + (i % 400_000) * 50 + Math.floor(chance() * 50);
  const kind = chance();
  const good = pick(chance, goodOnes)(tMs, chance, i);
  if (kind < 0.35) return good;
  if (kind < 0.45) return recent.length > 0 ? pick(chance, recent) : good;
  if (kind < 0.7) return mutated(good, chance);
  if (kind < 0.85) return { topic: good.topic, payload: damaged(good.payload, chance) };
  if (kind < 0.95) return { topic: good.topic, payload: pick(chance, hostile) };
  return { topic: pick(chance, strangeTopics)(i), payload: good.payload };
}

const json = (topic: string, body: unknown): FuzzMessage => ({ topic, payload: Buffer.from(JSON.stringify(body)) });

const goodOnes: readonly ((tMs: number, chance: Chance, i: number) => FuzzMessage)[] = [
  (t, chance, seq) =>
    json("json/GW-CT/event", {
      v: 1,
      kind: "event",
      source: "GW-CT",
      seq,
      series: "CT-A1/stage",
      t,
      value: digit(chance),
    }),
  (t, _chance, seq) => {
    const axes = { "CT-A1/vibration-x": Buffer.alloc(400, seq).toString("base64") };
    return json("json/GW-CT/waveform", {
      v: 1,
      kind: "waveform",
      source: "GW-CT",
      seq,
      t,
      rateHz: 200,
      unit: "[g]",
      scale: 0.001,
      axes,
    });
  },
  (t, chance) =>
    json("ostrimvale/GW-DR/x", [
      { bn, bt: t / 1000, n: "supply-rh", u: "%RH", v: 40 + digit(chance) },
      { n: "supply-t", t: -1, u: "Cel", v: 50, bver: 10 },
      { n: "load", u: "/", vb: chance() < 0.5 },
    ]),
  (t, chance, i) => {
    const Timestamp = new Date(t).toISOString();
    const Payload = {
      Temperature: 70 + digit(chance),
      Active: true,
      Zone2: { Value: 158, SourceTimestamp: Timestamp },
    };
    const Messages = [{ DataSetWriterId: 101, SequenceNumber: i, Timestamp, Payload }];
    return json("ostrimvale/GW-AO/x", { MessageId: "m", MessageType: "ua-data", PublisherId: "P", Messages });
  },
  (t, chance, n) =>
    json("ostrimvale/GW-PO/x", {
      n,
      rows: [
        { tag: "TT-1", v: 7000 + digit(chance), ts: t * 1000, q: 0 },
        { tag: "ZS-1", v: 1, ts: t * 1000 },
      ],
    }),
  (timestamp, chance, i) => {
    const metrics = [
      { alias: 3, type: "Float", value: 90 + digit(chance), timestamp },
      { alias: 4, type: "Int16", value: digit(chance), timestamp },
    ] as const;
    return sparkplug("DDATA/GW-PR/PR-01", encoded(metrics, { seq: i % 256, timestamp }));
  },
  (t) => sparkplugBirth(t),
  (t) => deviceBirth(t),
];

function sparkplug(rest: string, bytes: Uint8Array): FuzzMessage {
  return { topic: `spBv1.0/ostrimvale/${rest}`, payload: Buffer.from(bytes) };
}

function sparkplugBirth(timestamp: number): FuzzMessage {
  const header = { name: "Header/Pressure", type: "Double", value: 1, timestamp } as const;
  return sparkplug("NBIRTH/GW-PR", encoded([bdSeq(0), header], { seq: 0, timestamp }));
}

function deviceBirth(timestamp: number): FuzzMessage {
  const metrics = [
    { name: "Steam/Pressure", alias: 3, type: "Float", value: 90.5, timestamp },
    { name: "Step", alias: 4, type: "Int16", value: 5, timestamp },
  ] as const;
  return sparkplug("DBIRTH/GW-PR/PR-01", encoded(metrics, { seq: 1, timestamp }));
}

const leaves: readonly unknown[] = [
  ...[null, "", "NaN", "bar", "%RH", "furlong", 0, -1, 1e308, -1e308, 2 ** 28, 2 ** 53, 0.1, true, {}, [], [[]]],
  ...["PR-99/pressure", "1970-01-01T00:00:00Z", "2099-12-31T23:59:59Z", Date.UTC(1970, 0, 1), Date.UTC(2099, 11, 31)],
  ...[
    "'; DROP TABLE sample; --",
    "m,tag=x f=1i 1\nm f=2",
    "\u0000",
    "\ud800",
    "__proto__",
    "constructor",
    "x".repeat(300),
  ],
];

function mutated({ topic, payload }: FuzzMessage, chance: Chance): FuzzMessage {
  if (topic.startsWith("spBv1.0")) return { topic, payload: damaged(payload, chance) };
  let body: unknown = JSON.parse(payload.toString());
  for (let n = 1 + Math.floor(chance() * 3); n > 0; n--)
    body = replaced(body, pick(chance, pathsOf(body)), pick(chance, leaves));
  return { topic, payload: Buffer.from(JSON.stringify(body) ?? "null") };
}

/** Bytes changed, cut off, doubled or mixed in. */
function damaged(bytes: Buffer, chance: Chance): Buffer {
  const kind = chance();
  if (kind < 0.3) return bytes.subarray(0, Math.floor(chance() * bytes.length));
  if (kind < 0.4) return Buffer.concat([bytes, bytes]);
  const copy = Buffer.from(bytes);
  for (let n = 1 + Math.floor(chance() * 4); n > 0 && copy.length > 0; n--) {
    copy[Math.floor(chance() * copy.length)] = Math.floor(chance() * 256);
  }
  return copy;
}

const oneReading = (value: string, t: string = "1"): string =>
  `{"v":1,"kind":"readings","source":"GW-CT","readings":[{"series":"CT-A1/stage","t":${t},"value":${value},"unit":"1"}]}`;

const hostile: readonly Buffer[] = [
  ...["", "null", "[]", "{}", "[1e400]", '{"rows":[NaN]}', "\u0000", "'; DROP TABLE sample; --", "\ufeff{}"],
  ...[
    oneReading("1e400"),
    oneReading("NaN"),
    oneReading("-0"),
    oneReading("1", "1e400"),
    oneReading('"1"', '"2099-01-01T00:00:00Z"'),
  ],
  ...[
    '{"v":1,"kind":"readings","source":"GW-CT","readings":{}}',
    '{"__proto__":{"v":1}}',
    "weather,site=x t=82 1764057912000000000",
  ],
  ...[`${"[".repeat(3_000)}${"]".repeat(3_000)}`, `{"v":1,"kind":"${"k".repeat(5_000)}"}`],
]
  .map((text) => Buffer.from(text))
  .concat([
    Buffer.from([0xff, 0xfe, 0x7b]),
    Buffer.alloc(300, 0x80),
    Buffer.from([0x0a, 0xff, 0xff, 0xff, 0xff, 0x7f]),
  ]);

/** What our broker takes as a topic: with $, a wildcard, NUL or hundreds of levels it breaks the connection instead. */
const strangeTopics: readonly ((i: number) => string)[] = [
  () => "nowhere",
  (i) => `made/up/${i}`,
  () => "ostrimvale/GW-DR",
  () => "spBv1.0/ostrimvale/STATE/GW-PR",
  () => "spBv1.0/ostrimvale/DDATA/GW-PR/../../etc",
  () => "spBv1.0//DDATA/GW-PR/PR-01",
  () => "'; DROP TABLE sample; --",
  () => "json/GW-CT/\u202e\ud83d\udd25",
  () => `json/GW-CT/${"long".repeat(1000)}`,
  () => " ",
];

/** Larger than is taken, or nested deeper than a parser likes. */
function large(chance: Chance): FuzzMessage {
  const topic = pick(chance, ["json/GW-CT/x", "ostrimvale/GW-DR/x", "spBv1.0/ostrimvale/DDATA/GW-PR/PR-01"]);
  const deep = Buffer.from(`${"[".repeat(200_000)}${"]".repeat(200_000)}`);
  return { topic, payload: chance() < 0.5 ? Buffer.alloc(1_200_000, 0x20) : deep };
}

function digit(chance: Chance): number {
  return Math.floor(chance() * 10);
}

function pick<T>(chance: Chance, list: readonly T[]): T {
  return list[Math.floor(chance() * list.length)]!;
}

/** Numbers from 0 to 1 by a small generator of Marsaglia's (xorshift, 32 bits): good enough to choose by. */
function chances(seed: number): Chance {
  let state = seed | 1;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2 ** 32;
  };
}
