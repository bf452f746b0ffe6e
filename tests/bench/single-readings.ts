import { plantStream } from "../soak/plant-stream.ts";

export interface SingleReading {
  readonly topic: string;
  readonly payload: string;
}

/** What the presses send, taken apart into messages of one reading or one event each, in time order. */
export function singleReadings(fromMs: number, count: number): readonly SingleReading[] {
  const hourMs = 3_600_000;
  const messages: (SingleReading & { readonly tMs: number })[] = [];
  // The plant is played from its beginning each time, so the second try asks for as many hours as the first lets expect.
  for (let hours = 1; messages.length < count; hours = Math.ceil((1.1 * hours * count) / messages.length)) {
    messages.length = 0;
    for (const message of plantStream(7, fromMs, fromMs + hours * hourMs)) {
      if (message.topic.startsWith("ostrimvale/GW-PR/")) messages.push(...takenApart(message.topic, message.payload));
    }
  }
  messages.sort((a, b) => a.tMs - b.tMs);
  // Counted as the sender counts them.
  return messages.slice(0, count).map(({ topic, payload }, seq) => {
    const message = JSON.parse(payload) as { readonly seq: number };
    return { topic, payload: JSON.stringify({ ...message, seq }) };
  });
}

interface Reading {
  readonly series: string;
  readonly t: number;
  readonly unit: string;
  readonly everyMs?: number;
  readonly value?: number;
  readonly values?: readonly number[];
}

function takenApart(topic: string, payload: string): readonly (SingleReading & { readonly tMs: number })[] {
  const message = JSON.parse(payload) as { readonly t: number; readonly readings?: readonly Reading[] };
  if (message.readings === undefined) return [{ topic, payload, tMs: message.t }];
  return message.readings.flatMap(({ series, t, unit, everyMs = 0, value, values = [value ?? 0] }) =>
    values.map((one, i) => {
      const tMs = Math.round(t + i * everyMs);
      const readings = [{ series, t: new Date(tMs).toISOString(), value: one, unit, quality: "good" }];
      return { topic, tMs, payload: JSON.stringify({ v: 1, kind: "readings", source: "GW-PR", seq: 0, readings }) };
    }),
  );
}
