import type { Emission, Values, Waveform } from "./emission.ts";

/** A message as it leaves the gateway, but for its place in the gateway's own count. */
export interface Message {
  readonly kind: "readings" | "waveform" | "event";
  /** From when on all of it is known. */
  readonly atMs: number;
  readonly body: Readonly<Record<string, unknown>>;
  /** Readings, events or samples of an axis in it. */
  readonly items: number;
}

/** Packs what a gateway's stations gave in a window into messages, in time order. */
export function pack(emissions: readonly Emission[], toMs: number): Message[] {
  const messages: Message[] = [];
  const readings: Values[] = [];
  for (const emission of emissions) {
    if (emission.kind === "values") readings.push(emission);
    else if (emission.kind === "waveform") messages.push(waveform(emission));
    else {
      const { series, tMs, value, attributes } = emission;
      messages.push({ kind: "event", atMs: tMs, items: 1, body: { series, t: tMs, value, attributes } });
    }
  }
  if (readings.length > 0) {
    readings.sort((a, b) => a.tMs - b.tMs);
    const items = readings.reduce((sum, r) => sum + r.values.length, 0);
    messages.push({ kind: "readings", atMs: toMs, items, body: { readings: readings.map(reading) } });
  }
  // Stable, so that what was known at the same moment keeps its order: a stage's last second, then its end.
  return messages.sort((a, b) => a.atMs - b.atMs || rank(a) - rank(b));
}

function rank(message: Message): number {
  return message.kind === "event" ? 1 : 0;
}

function reading({ series, unit, tMs, everyMs, values }: Values): Record<string, unknown> {
  return values.length === 1 ? { series, t: tMs, value: values[0], unit } : { series, t: tMs, everyMs, values, unit };
}

function waveform({ tMs, rateHz, unit, scale, axes }: Waveform): Message {
  const coded = Object.entries(axes).map(([series, samples]) => [series, base64(samples)]);
  const samples = Object.values(axes).reduce((sum, axis) => sum + axis.length, 0);
  return {
    kind: "waveform",
    atMs: tMs + 1000,
    items: samples,
    body: { t: tMs, rateHz, unit, scale, axes: Object.fromEntries(coded) },
  };
}

/** Little-endian 16-bit, as every machine this runs on keeps them. */
function base64(samples: Int16Array): string {
  return Buffer.from(samples.buffer, samples.byteOffset, samples.byteLength).toString("base64");
}
