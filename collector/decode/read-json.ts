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

/**
 * The JSON of a message, or undefined with the reason noted: JSON itself knows no undefined. `nanIsNull` takes the words of
 * a sender that writes NaN and Infinity where it has no number: each then costs its own reading, not the whole message.
 */
export function readJson(raw: RawMessage, rejections: Rejection[], nanIsNull: boolean = false): unknown {
  if (!isAcceptable(raw, rejections)) return undefined;
  const { payload } = raw;
  const text = bare(Buffer.from(payload.buffer, payload.byteOffset, payload.length).toString("utf8"));
  // What is not UTF-8 was replaced by this character; only then it pays to look closer.
  if (text.includes("\uFFFD") && !isUtf8(payload)) return reject(rejections, "not-utf8", "", "expected UTF-8 text");
  try {
    return JSON.parse(text);
  } catch (error) {
    const other = nanIsNull ? text.replace(stringOrNan, (word) => (word.startsWith('"') ? word : "null")) : text;
    if (other !== text) return readJson({ ...raw, payload: Buffer.from(other) }, rejections);
    return reject(rejections, "not-json", "", error instanceof Error ? error.message : String(error));
  }
}

/** A string, to its end also where that is missing so that none is looked at twice, or a word that JSON does not know. */
const stringOrNan = /"(?:[^"\\]+|\\.?)*(?:"|$)|-?\b(?:NaN|Infinity)\b/gs;

/** Without the byte order mark before it, and the nought after it that ends a text in C. */
function bare(text: string): string {
  const from = text.charCodeAt(0) === 0xfeff ? 1 : 0;
  let to = text.length;
  while (text.charCodeAt(to - 1) === 0) to -= 1;
  return to - from === text.length ? text : text.slice(from, to);
}
