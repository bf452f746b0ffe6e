import type { Quality, Sample } from "../../spc/model/sample.ts";
import { topicParts } from "../platform/settings/check-sparkplug.ts";
import type { SourceSettings } from "../platform/settings/source-schema.ts";
import type { RawMessage } from "../source/message-source.ts";
import type { Counted, Decoded, MessageDecoder, Rejection, SeriesCatalogue } from "./decoder.ts";
import { canBeTrue, type Reading, reject, shown } from "./read-fields.ts";
import { isAcceptable } from "./read-json.ts";
import { type BornMetric, birthOf, type EdgeNode, edgeNodes } from "./sparkplug-births.ts";
import { readPayload, type SparkplugMetric, type SparkplugPayload } from "./sparkplug-payload.ts";
import { valueAs } from "./sparkplug-value.ts";
import { takeReading } from "./take-reading.ts";

type SparkplugSource = Extract<SourceSettings, { format: "sparkplug-b" }>;

const messageTypes = ["NBIRTH", "DBIRTH", "NDATA", "DDATA", "NDEATH", "DDEATH"] as const;
type MessageType = (typeof messageTypes)[number];

/** `seq` goes from 255 to 0 (Sparkplug 3.0, 6.4.5). */
const SEQUENCE_WRAPS = 256;
/** Values of the property `Quality` (Sparkplug 3.0, 6.4.9); stale is the last value there was, not a new one. */
const qualities: Readonly<Record<number, Quality>> = { 0: "bad", 192: "good", 500: "uncertain" };

interface Topic {
  readonly type: MessageType;
  readonly edge: string;
  readonly device: string | null;
}

interface Taker {
  readonly reading: Reading;
  readonly samples: Sample[];
  readonly counted: Counted[];
  readonly ignoreOthers: boolean;
  readonly payload: SparkplugPayload;
}

/**
 * Decoder of Sparkplug B 3.0, as a listener: we never publish, so a rebirth that would help is said in the rejection
 * and asked for by a person. It remembers the births of the edge nodes that the settings name, in memory: after a
 * restart data are refused as `birth-missing` until the next birth. A message counts as seen even if the store then
 * fails.
 */
export function sparkplugB(source: SparkplugSource, catalogue: SeriesCatalogue): MessageDecoder {
  const nodes = edgeNodes(source.map, topicParts(source.topic).edge);
  return {
    format: "sparkplug-b",
    decode: (raw): Decoded => {
      const rejections: Rejection[] = [];
      const samples: Sample[] = [];
      const counted: Counted[] = [];
      const reading = { catalogue, source: source.id, receivedMs: raw.receivedMs, rejections };
      const ignoreOthers = source.others === "ignore";
      const items = decodeMessage(raw, nodes, { reading, samples, counted, ignoreOthers });
      const sequence = null;
      return { source: source.id, sequence, counted, samples, snapshots: [], rejections, items, samplesPerItem: 1 };
    },
  };
}

function decodeMessage(raw: RawMessage, nodes: ReadonlyMap<string, EdgeNode>, parts: Omit<Taker, "payload">): number {
  const { rejections } = parts.reading;
  if (!isAcceptable(raw, rejections)) return 1;
  const topic = readTopic(raw.topic);
  // Commands to machines are none of ours to read.
  if (topic === "command") return 0;
  if (topic === null) {
    const expected = "spBv1.0/group/type/edge, and /device where the type begins with D";
    reject(rejections, "unknown-kind", "", `expected the topic ${expected}, found ${shown(raw.topic)}`);
    return 1;
  }
  const payload = readPayload(raw.payload);
  if (typeof payload === "string") {
    reject(rejections, "not-protobuf", "", `no Sparkplug B payload: ${payload}`);
    return 1;
  }
  if (payload.hasBody) {
    reject(rejections, "unknown-encoding", "/body", "the metrics are in a body of another encoding: send them plain");
    return 1;
  }
  const node = nodes.get(topic.edge);
  if (node === undefined) return strangers(topic, `the edge node ${shown(topic.edge)}`, parts);
  const taker = { ...parts, payload };
  if (!countMessage(topic, taker)) return 1;
  // A will was written when the connection began.
  if (topic.type !== "NDEATH") noteClock(node, taker);
  return decodeOf(topic, node, taker);
}

function decodeOf(topic: Topic, node: EdgeNode, taker: Taker): number {
  const { payload } = taker;
  switch (topic.type) {
    case "NBIRTH":
      node.births.clear();
      node.bdSeq = bdSeqOf(payload);
      return decodeBirth(topic, node, taker);
    case "DBIRTH":
      return decodeBirth(topic, node, taker);
    case "NDATA":
    case "DDATA":
      return decodeData(topic, node, taker);
    case "NDEATH":
      return decodeNodeDeath(node, taker);
    case "DDEATH":
      return markDead(node, [topic.device], payload.timestampMs ?? nowOf(node, taker), taker);
  }
}

function readTopic(text: string): Topic | "command" | null {
  const [namespace, group = "", word = "", edge = "", device, ...more] = text.split("/");
  if (namespace !== "spBv1.0" || group === "" || edge === "" || device === "" || more.length > 0) return null;
  if (word === "NCMD" || word === "DCMD") return "command";
  const type = messageTypes.find((one) => one === word);
  if (type === undefined || type.startsWith("D") !== (device !== undefined)) return null;
  return { type, edge, device: device ?? null };
}

/** Of what the settings do not name only data are worth a word: births are lists of all there is. */
function strangers(topic: Topic, what: string, { reading, ignoreOthers }: Omit<Taker, "payload">): number {
  if (ignoreOthers || !topic.type.endsWith("DATA")) return 0;
  reject(reading.rejections, "unknown-series", "", `${what} stands in no row of the source's map`);
  return 1;
}

function countMessage(topic: Topic, { payload, counted, reading }: Taker): boolean {
  if (topic.type === "NDEATH") return true;
  const { seq } = payload;
  if (seq === null || seq >= SEQUENCE_WRAPS) {
    reject(reading.rejections, "not-a-number", "/seq", `expected a number from 0 to 255, found ${shown(seq)}`);
    return false;
  }
  counted.push({ stream: topic.edge, number: seq, wraps: SEQUENCE_WRAPS, anew: topic.type === "NBIRTH" });
  return true;
}

function bdSeqOf({ metrics }: SparkplugPayload): number | null {
  const value = metrics.find(({ name }) => name === "bdSeq")?.value;
  return value?.as === "integer" ? value.bits.low : null;
}

function decodeBirth(topic: Topic, node: EdgeNode, taker: Taker): number {
  const { payload } = taker;
  // A device belongs to a node that is alive.
  if (topic.type === "DBIRTH" && !node.births.has(null)) return birthMissing(topic, taker);
  const rows = node.rows.get(topic.device);
  // The node's own birth is kept in any case: without it nothing of the node can be read.
  if (rows === undefined && topic.device !== null) return 0;
  const birth = birthOf(payload.metrics, rows);
  node.births.set(topic.device, birth);
  let items = 0;
  for (let i = 0; i < payload.metrics.length; i++) {
    const metric = payload.metrics[i]!;
    const born = metric.name === null ? undefined : birth.byName.get(metric.name);
    if (born?.row === undefined) continue;
    items += 1;
    takeMetric(metric, born, `/metrics/${i}`, taker);
  }
  return items;
}

function decodeData(topic: Topic, node: EdgeNode, taker: Taker): number {
  const { payload, reading, ignoreOthers } = taker;
  const { rejections } = reading;
  if (!node.rows.has(topic.device)) {
    return strangers(
      topic,
      topic.device === null ? "the edge node itself" : `the device ${shown(topic.device)}`,
      taker,
    );
  }
  const birth = node.births.get(topic.device);
  if (birth === undefined) return birthMissing(topic, taker);
  let items = 0;
  for (let i = 0; i < payload.metrics.length; i++) {
    const metric = payload.metrics[i]!;
    const place = `/metrics/${i}`;
    const { alias, name } = metric;
    const born = alias === null ? birth.byName.get(name ?? "") : birth.byAlias.get(alias);
    if (born !== undefined && born !== null && born.row === undefined && ignoreOthers) continue;
    items += 1;
    if (born === null) {
      reject(rejections, "alias-twice", place, `the birth gave the alias ${alias} to two metrics: it tells neither`);
    } else if (born === undefined || (name !== null && name !== born.name)) {
      const which = alias === null ? shown(name) : `alias ${alias}`;
      reject(rejections, "not-in-birth", place, `${which} is not in the last birth; ${rebirthWords}`);
    } else if (born.row === undefined) {
      reject(rejections, "unknown-series", place, `${shown(born.name)} stands in no row of the source's map`);
    } else {
      takeMetric(metric, born, place, taker);
    }
  }
  return items;
}

const rebirthWords = "a rebirth would help: ask for it at the edge node, for nothing is sent from here";

/** All metrics are refused: what they are called, and how they are to be read, only a birth tells. */
function birthMissing(topic: Topic, { payload, reading }: Taker): number {
  const whose = topic.type === "DDATA" ? `device ${shown(topic.device)}` : `edge node ${shown(topic.edge)}`;
  const detail = `no birth of the ${whose} since our start or its death; ${rebirthWords}`;
  for (let i = 0; i < payload.metrics.length; i++) {
    reject(reading.rejections, "birth-missing", `/metrics/${i}`, detail);
  }
  return payload.metrics.length;
}

function takeMetric(metric: SparkplugMetric, born: BornMetric, place: string, taker: Taker): void {
  const { reading, samples, payload } = taker;
  const { rejections } = reading;
  const { row, datatype } = born;
  if (row === undefined) throw new RangeError(`${born.name} has no row`);
  if (metric.isTransient) {
    reject(rejections, "transient", place, "the sender says that this value is not to be stored");
    return;
  }
  const told = metric.quality === null ? "good" : qualities[metric.quality];
  if (told === undefined) {
    const expected = "0 bad, 192 good or 500 stale";
    reject(rejections, "unknown-quality", `${place}/properties`, `expected ${expected}, found ${metric.quality}`);
    return;
  }
  const tMs = metric.timestampMs ?? payload.timestampMs;
  if (tMs === null) {
    reject(rejections, "not-a-time", `${place}/timestamp`, "expected a timestamp with the metric or the message");
    return;
  }
  const value = metric.isNull ? null : metricValue(metric, datatype);
  if (value === undefined) {
    const found = metric.value === null ? "nothing" : "another type";
    reject(rejections, "not-a-number", `${place}/value`, `expected a number of datatype ${datatype}, found ${found}`);
    return;
  }
  const quality = value === null ? "bad" : told;
  const places = { record: place, value: `${place}/value`, time: `${place}/timestamp`, unit: place };
  takeReading({ series: row.series, tMs, value, unit: row.unit, quality, places }, reading, samples);
}

function metricValue({ value }: SparkplugMetric, datatype: number | null): number | boolean | undefined {
  return value === null || datatype === null ? undefined : valueAs(value, datatype);
}

function decodeNodeDeath(node: EdgeNode, taker: Taker): number {
  const bdSeq = bdSeqOf(taker.payload);
  if (bdSeq === null) {
    reject(taker.reading.rejections, "value-missing", "/metrics", "an NDEATH says with bdSeq which birth it ends");
    return 1;
  }
  // A will that was left behind by an earlier connection.
  if (node.bdSeq !== null && node.bdSeq !== bdSeq) return 0;
  // Its timestamp is of the time when the will was made.
  return markDead(node, [...node.births.keys()], nowOf(node, taker), taker);
}

function noteClock(node: EdgeNode, { payload, reading: { receivedMs } }: Taker): void {
  const sentMs = payload.timestampMs;
  if (sentMs !== null && canBeTrue(sentMs, receivedMs)) node.clock = { sentMs, receivedMs };
}

/**
 * What the node's own clock shows now. By ours, a death at a node whose clock is behind would be its newest reading, and all
 * that it sends after its next birth would come late.
 */
function nowOf({ clock }: EdgeNode, { reading: { receivedMs } }: Taker): number {
  return clock === null ? receivedMs : clock.sentMs + Math.max(0, receivedMs - clock.receivedMs);
}

/** Readings of the dead end with a bad one, so that the last good one does not seem to hold. */
function markDead(node: EdgeNode, devices: readonly (string | null)[], tMs: number, taker: Taker): number {
  const { reading, samples } = taker;
  let items = 0;
  for (const device of devices) {
    const birth = node.births.get(device);
    node.births.delete(device);
    for (const { row } of birth?.byName.values() ?? []) {
      if (row === undefined || reading.catalogue.find(row.series)?.kind !== "reading") continue;
      items += 1;
      const places = { record: "", value: "", time: "/timestamp", unit: "" };
      takeReading({ series: row.series, tMs, value: null, unit: row.unit, quality: "bad", places }, reading, samples);
    }
  }
  return items;
}
