import type { Decoded } from "../../../collector/decode/decoder.ts";
import { payloadV1 } from "../../../collector/decode/payload-v1.ts";
import { topicSources } from "../../../collector/decode/topic-sources.ts";
import type { RawMessage } from "../../../collector/source/message-source.ts";
import { convert } from "../../../spc/units/ucum.ts";

/** 2026-11-25T08:05:12.345Z */
export const T0 = 1_795_593_912_345;

const series = {
  "PR-01/pressure": { source: "GW-PR", kind: "reading", unit: "bar" },
  "PR-01/step": { source: "GW-PR", kind: "event", unit: "1" },
  "AO-1/t1": { source: "GW-AO", kind: "reading", unit: "Cel" },
  "CT-A1/vibration-x": { source: "GW-CT", kind: "waveform", unit: "[g]" },
  "CT-A1/vibration-z": { source: "GW-CT", kind: "waveform", unit: "[g]" },
} as const;

/** The decoder over a small site: one press, one oven, one table. */
export const decoder = payloadV1({
  catalogue: {
    find: (id) => {
      const entry = Object.hasOwn(series, id) ? series[id as keyof typeof series] : undefined;
      if (entry === undefined) return undefined;
      return { id, ...entry, toCanonical: (value, from) => convert(value, from, entry.unit) };
    },
  },
  sourcesOf: topicSources(["GW-PR", "GW-AO", "GW-CT"].map((id) => ({ id, topic: `ostrimvale/${id}/#` }))),
  snapshotEveryMs: 15_000,
});

export function raw(payload: unknown, changes: Partial<RawMessage> = {}): RawMessage {
  const bytes = payload instanceof Uint8Array ? payload : new TextEncoder().encode(JSON.stringify(payload));
  return { topic: "ostrimvale/GW-PR/readings", payload: bytes, receivedMs: T0, retained: false, qos: 1, ...changes };
}

export function decode(payload: unknown, changes: Partial<RawMessage> = {}): Decoded {
  return decoder.decode(raw(payload, changes));
}

/** One good reading; `changes` overrides any field, undefined takes it away. */
export function oneReading(changes: Readonly<Record<string, unknown>> = {}): Record<string, unknown> {
  return { series: "PR-01/pressure", t: "2026-11-25T08:05:12.345Z", value: 0.901, unit: "bar", ...changes };
}

export function readingsOf(...readings: readonly unknown[]): Record<string, unknown> {
  return { v: 1, kind: "readings", source: "GW-PR", seq: 1042, readings };
}

export function waveformOf(
  samples: Int16Array,
  changes: Readonly<Record<string, unknown>> = {},
): Record<string, unknown> {
  const encoded = Buffer.from(samples.buffer, samples.byteOffset, samples.byteLength).toString("base64");
  const axes = { "CT-A1/vibration-z": encoded };
  return {
    v: 1,
    kind: "waveform",
    source: "GW-CT",
    seq: 7,
    t: T0,
    rateHz: 2048,
    unit: "[g]",
    scale: 0.001,
    axes,
    ...changes,
  };
}
export const onTable: Partial<RawMessage> = { topic: "ostrimvale/GW-CT/waveform" };
