import { isUtf8 } from "node:buffer";
import type { RawMessage } from "../source/message-source.ts";
import type { Rejection } from "./decoder.ts";
import { messageBounds } from "./payload-v1-schema.ts";
import { reject } from "./read-fields.ts";

/** Whether the message is new and no larger than any of ours may be; otherwise the reason is noted. */
export function isAcceptable({ payload, retained }: RawMessage, rejections: Rejection[]): boolean {
  if (retained) {
    reject(rejections, "retained", "", "a retained message is a last-known value, not a new reading: send unretained");
    return false;
  }
  if (payload.length <= messageBounds.bytes) return true;
  reject(rejections, "too-large", "", `expected at most ${messageBounds.bytes} bytes, found ${payload.length}`);
  return false;
}

/** The JSON of a message, or undefined with the reason noted: JSON itself knows no undefined. */
export function readJson(raw: RawMessage, rejections: Rejection[]): unknown {
  if (!isAcceptable(raw, rejections)) return undefined;
  const { payload } = raw;
  const text = Buffer.from(payload.buffer, payload.byteOffset, payload.length).toString("utf8");
  // What is not UTF-8 was replaced by this character; only then it pays to look closer.
  if (text.includes("\uFFFD") && !isUtf8(payload)) return reject(rejections, "not-utf8", "", "expected UTF-8 text");
  try {
    return JSON.parse(text);
  } catch (error) {
    return reject(rejections, "not-json", "", error instanceof Error ? error.message : String(error));
  }
}
