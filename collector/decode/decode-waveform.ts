import type { Sample } from "../../spc/model/sample.ts";
import { reducedMeasures, reduceWaveform } from "../../spc/vibration/reduce.ts";
import type { Snapshot } from "./decoder.ts";
import { pointerPart } from "./json-pointer.ts";
import { messageBounds } from "./payload-v1-schema.ts";
import {
  checkTime,
  findSeries,
  isObject,
  type JsonObject,
  type Reading,
  readNumber,
  readText,
  readTime,
  reject,
  shown,
  unknownUnit,
} from "./read-fields.ts";

interface Block {
  readonly tMs: number;
  readonly rateHz: number;
  readonly unit: string;
  readonly scale: number;
}

export interface WaveformOut {
  readonly samples: Sample[];
  readonly snapshots: Snapshot[];
  /** A block is kept raw when it is the first to start in a new stretch of so many milliseconds. */
  readonly snapshotEveryMs: number;
}

/** Reads `axes`, reduces each; returns how many there were, good and bad. */
export function decodeWaveform(message: JsonObject, reading: Reading, out: WaveformOut): number {
  const { rejections } = reading;
  const tMs = readTime(message, "", rejections);
  if (tMs === undefined) return 1;
  const rateHz = readNumber(message, "rateHz", "", rejections, Number.MIN_VALUE, 1_000_000);
  if (rateHz === undefined) return 1;
  const unit = readText(message, "unit", "", 24, rejections);
  if (unit === undefined) return 1;
  const scale = readNumber(message, "scale", "", rejections, Number.MIN_VALUE);
  if (scale === undefined) return 1;
  const axes = message["axes"];
  const ids = isObject(axes) ? Object.keys(axes) : [];
  if (!isObject(axes) || ids.length === 0 || ids.length > messageBounds.axes) {
    reject(
      rejections,
      "not-an-object",
      "/axes",
      `expected 1 to ${messageBounds.axes} axes in braces, found ${shown(axes)}`,
    );
    return 1;
  }
  if (!checkTime(tMs, "/t", reading)) return 1;
  for (const id of ids) decodeAxis(id, axes[id], { tMs, rateHz, unit, scale }, reading, out);
  return ids.length;
}

function decodeAxis(id: string, encoded: unknown, block: Block, reading: Reading, out: WaveformOut): undefined {
  const { rejections } = reading;
  const place = `/axes/${pointerPart(id)}`;
  if (id.length === 0 || id.length > messageBounds.idLength) {
    return reject(rejections, "not-a-text", place, `expected a series of 1 to ${messageBounds.idLength} characters`);
  }
  const bytes = typeof encoded === "string" ? base64Bytes(encoded) : undefined;
  if (bytes === undefined) return reject(rejections, "not-base64", place, `expected base64, found ${shown(encoded)}`);
  if (bytes.length % 2 !== 0) {
    return reject(rejections, "not-int16", place, `expected two bytes a sample, found ${bytes.length} bytes`);
  }
  const entry = findSeries(id, "waveform", place, reading);
  if (entry === undefined) return undefined;
  const scale = entry.toCanonical(block.scale, block.unit);
  if (scale === undefined) return unknownUnit(entry, block.unit, "/unit", rejections);

  const values = int16Values(bytes, scale);
  const reduced = reduceWaveform(values, block.rateHz);
  if (!reduced.ok) return reject(rejections, reduced.refusal.code, place, reduced.refusal.detail);
  for (const measure of reducedMeasures) {
    const value = reduced.value[measure];
    // No number here is an honest answer (no line stands out), not a fault of the instrument.
    const quality = value === null ? "uncertain" : "good";
    out.samples.push({ series: `${id}.${measure}`, tMs: block.tMs, value, quality });
  }
  if (startsStretch(block.tMs, (1000 * values.length) / block.rateHz, out.snapshotEveryMs)) {
    out.snapshots.push({ series: id, tMs: block.tMs, rateHz: block.rateHz, scale, samples: bytes });
  }
  return undefined;
}

/** Follows from the block's time alone, so a repeated message keeps the same snapshots. */
function startsStretch(tMs: number, lengthMs: number, everyMs: number): boolean {
  return Math.floor(tMs / everyMs) !== Math.floor((tMs - lengthMs) / everyMs);
}

/** A plain loop over a view: a second of three axes is six thousand numbers, and this is where their time goes. */
function int16Values(bytes: Buffer, scale: number): Float64Array {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const values = new Float64Array(bytes.length / 2);
  for (let i = 0; i < values.length; i += 1) values[i] = view.getInt16(2 * i, true) * scale;
  return values;
}

/**
 * `Buffer.from` passes over what is no base64 and takes the URL alphabet too, so the length tells whether it passed
 * over anything: much quicker than to match the whole text first.
 */
function base64Bytes(text: string): Buffer | undefined {
  if (text.length % 4 !== 0 || text.includes("-") || text.includes("_")) return undefined;
  const padding = text.endsWith("==") ? 2 : text.endsWith("=") ? 1 : 0;
  const bytes = Buffer.from(text, "base64");
  return bytes.length === (text.length / 4) * 3 - padding ? bytes : undefined;
}
