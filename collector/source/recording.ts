import type { RawMessage } from "./message-source.ts";

/** One message of a recording, in which it is one line of JSON: when it arrived, its topic and QoS, its payload in base64. */
export interface RecordedMessage {
  readonly atMs: number;
  readonly topic: string;
  readonly qos: 0 | 1 | 2;
  readonly payload: Buffer;
}

/** First line of a recording: tells it from other files, and what it is of. */
export function recordingHead(atMs: number, topics: readonly string[]): string {
  return JSON.stringify({ recording: "steadypour", v: 1, begun: new Date(atMs).toISOString(), topics });
}

export function recordingLine({ receivedMs, topic, qos, payload }: RawMessage): string {
  const at = new Date(receivedMs).toISOString();
  return JSON.stringify({ at, topic, qos, payload: Buffer.from(payload).toString("base64") });
}

/** Null for the first line of a recording of ours, else what was found instead. */
export function recordingHeadMistake(text: string): string | null {
  const head = parsed(text);
  if (head?.["recording"] !== "steadypour") return "found no recording, expected a file of steadypour record";
  return head["v"] === 1 ? null : `found version ${JSON.stringify(head["v"])} of recordings, expected 1`;
}

/** The message of a line, or what is wrong with it. */
export function recordedMessage(text: string): RecordedMessage | string {
  const line = parsed(text);
  if (line === null) return "found no JSON, expected at, topic, qos and payload in braces";
  const { at, topic, qos, payload } = line as Readonly<Record<string, unknown>>;
  const atMs = typeof at === "string" && /^\d{4}-.*Z$/.test(at) ? Date.parse(at) : Number.NaN;
  if (Number.isNaN(atMs)) return `at: found ${shown(at)}, expected a time such as 2026-11-25T08:05:12.345Z`;
  if (typeof topic !== "string" || topic === "" || topic.length > 65_535 || /[+#\0]/.test(topic)) {
    return `topic: found ${shown(topic)}, expected an MQTT topic without + and #`;
  }
  // What begins with $ is the broker's own, and nobody else may publish it.
  if (topic.startsWith("$")) return `topic: found ${shown(topic)}, expected one that does not begin with $`;
  if (qos !== 0 && qos !== 1 && qos !== 2) return `qos: found ${shown(qos)}, expected 0, 1 or 2`;
  if (
    typeof payload !== "string" ||
    !/^(?:[A-Za-z0-9+/]{4})*(?:[A-Za-z0-9+/]{2}==|[A-Za-z0-9+/]{3}=)?$/.test(payload)
  ) {
    return `payload: found ${shown(payload)}, expected base64`;
  }
  return { atMs, topic, qos, payload: Buffer.from(payload, "base64") };
}

/** Commands of Sparkplug B move machines: they are neither recorded nor ever sent from here. */
export function isCommand(topic: string): boolean {
  return /^spBv1\.0\/[^/]+\/(?:NCMD|DCMD)(?:\/|$)/.test(topic);
}

function parsed(text: string): Readonly<Record<string, unknown>> | null {
  try {
    const value: unknown = JSON.parse(text);
    return typeof value === "object" && value !== null && !Array.isArray(value) ? { ...value } : null;
  } catch (error) {
    if (error instanceof SyntaxError) return null;
    throw error;
  }
}

function shown(value: unknown): string {
  const text = value === undefined ? "nothing" : JSON.stringify(value);
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}
