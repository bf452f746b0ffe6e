import type { Sample } from "../../spc/model/sample.ts";
import { reducedMeasures } from "../../spc/vibration/reduce.ts";
import type { RawMessage } from "../source/message-source.ts";
import { decodeEvent } from "./decode-event.ts";
import { decodeReadings } from "./decode-readings.ts";
import { decodeWaveform } from "./decode-waveform.ts";
import type { Decoded, MessageDecoder, Rejection, SeriesCatalogue, Snapshot } from "./decoder.ts";
import { quickReadings } from "./quick-readings.ts";
import { isObject, type JsonObject, readId, reject, shown } from "./read-fields.ts";
import { readJson } from "./read-json.ts";

export interface PayloadV1Options {
  readonly catalogue: SeriesCatalogue;
  /** Sources whose topic filter takes this topic. */
  readonly sourcesOf: (topic: string) => readonly string[];
  /** How often a raw block of waveform is kept beside its reduced series. */
  readonly snapshotEveryMs: number;
}

/** Decoder of our own JSON, version 1: `payload-v1.schema.json`. */
export function payloadV1(options: PayloadV1Options): MessageDecoder {
  const quick = quickReadings(options.catalogue, options.sourcesOf);
  return { format: "json-v1", decode: (message) => quick(message) ?? decode(message, options) };
}

function decode(raw: RawMessage, { catalogue, sourcesOf, snapshotEveryMs }: PayloadV1Options): Decoded {
  const samples: Sample[] = [];
  const snapshots: Snapshot[] = [];
  const rejections: Rejection[] = [];
  let sequence: number | null = null;
  let items = 1;
  let samplesPerItem = 1;

  const expected = sourcesOf(raw.topic);
  const message = isExpected(raw.topic, expected, rejections) ? readMessage(raw, rejections) : undefined;
  const source = message === undefined ? undefined : readSource(message, expected, rejections);
  if (message !== undefined && source !== undefined) {
    const found = readSequence(message, rejections);
    const reading = { catalogue, source, receivedMs: raw.receivedMs, rejections };
    if (found !== undefined) {
      sequence = found;
      switch (message["kind"]) {
        case "readings":
          items = decodeReadings(message, reading, samples);
          break;
        case "waveform":
          items = decodeWaveform(message, reading, { samples, snapshots, snapshotEveryMs });
          samplesPerItem = reducedMeasures.length;
          break;
        case "event":
          items = decodeEvent(message, reading, samples);
          break;
        default:
          reject(
            rejections,
            "unknown-kind",
            "/kind",
            `expected readings, waveform or event, found ${shown(message["kind"])}`,
          );
      }
    }
  }
  return { source: source ?? null, sequence, samples, snapshots, rejections, items, samplesPerItem };
}

/** Asked first: under a topic of nobody's anything may come, and what is wrong with it is the topic. */
function isExpected(topic: string, expected: readonly string[], rejections: Rejection[]): boolean {
  if (expected.length > 0) return true;
  reject(rejections, "unknown-topic", "", `no source of the settings has a topic that takes ${shown(topic)}`);
  return false;
}

/** The message as an object of version 1, or undefined with the reason noted. */
function readMessage(raw: RawMessage, rejections: Rejection[]): JsonObject | undefined {
  const message = readJson(raw, rejections);
  if (message === undefined) return undefined;
  if (!isObject(message))
    return reject(rejections, "not-an-object", "", `expected a message in braces, found ${shown(message)}`);
  if (message["v"] !== 1)
    return reject(rejections, "unknown-version", "/v", `expected 1, found ${shown(message["v"])}`);
  return message;
}

function readSource(message: JsonObject, expected: readonly string[], rejections: Rejection[]): string | undefined {
  const source = readId(message, "source", "", rejections);
  if (source === undefined) return undefined;
  if (expected.includes(source)) return source;
  return reject(
    rejections,
    "wrong-source",
    "/source",
    `expected ${expected.join(" or ")} under this topic, found ${shown(source)}`,
  );
}

function readSequence(message: JsonObject, rejections: Rejection[]): number | null | undefined {
  const seq = message["seq"];
  if (seq === undefined) return null;
  if (typeof seq === "number" && Number.isSafeInteger(seq) && seq >= 0) return seq;
  return reject(rejections, "not-a-number", "/seq", `expected a whole number from 0, found ${shown(seq)}`);
}
