import type { Emission, Happening, Values, Waveform } from "./emission.ts";

/** A message as it leaves the gateway, but for its place in the gateway's own count. */
export interface Message {
  readonly kind: "readings" | "waveform" | "event";
  /** Its first reading. */
  readonly fromMs: number;
  readonly body: Readonly<Record<string, unknown>>;
  /** Readings, events or samples of an axis in it. */
  readonly items: number;
}

/** No block runs on longer than this, so that nothing arrives further out of order however much a message holds. */
const blockMs = 3000;

/** Packs what a gateway's stations gave in a window into messages, in time order. */
export function pack(emissions: readonly Emission[]): Message[] {
  const ordered = emissions.flatMap(blocks).sort((a, b) => a.tMs - b.tMs);
  const messages: Message[] = [];
  let readings: Values[] = [];
  const flush = (): void => {
    if (readings.length > 0) messages.push(together(readings));
    readings = [];
  };
  for (const emission of ordered) {
    if (emission.kind === "values") readings.push(emission);
    else {
      flush();
      messages.push(emission.kind === "event" ? event(emission) : waveform(emission));
    }
  }
  flush();
  return messages;
}

/** Long blocks cut at fixed instants. */
function blocks(emission: Emission): Emission[] {
  if (emission.kind !== "values") return [emission];
  const pieces: Values[] = [];
  const { tMs, everyMs, values } = emission;
  for (let first = 0; first < values.length; ) {
    const fromMs = tMs + first * everyMs;
    const toMs = (Math.floor(fromMs / blockMs) + 1) * blockMs;
    const end = Math.min(values.length, Math.ceil((toMs - tMs) / everyMs));
    pieces.push({ ...emission, tMs: fromMs, values: values.slice(first, end) });
    first = end;
  }
  return pieces;
}

function together(readings: readonly Values[]): Message {
  const items = readings.reduce((sum, r) => sum + r.values.length, 0);
  const fromMs = (readings[0] as Values).tMs;
  return { kind: "readings", fromMs, items, body: { readings: readings.map(reading) } };
}

function reading({ series, unit, tMs, everyMs, values }: Values): Record<string, unknown> {
  if (values.length > 1) return { series, t: tMs, everyMs, values, unit };
  const value = values[0] as number | null;
  // A loop at 3.4 mA is no value, and the gateway says so; within a block of values null alone says it.
  return value === null ? { series, t: tMs, value, unit, quality: "bad" } : { series, t: tMs, value, unit };
}

function event({ series, tMs, value, attributes }: Happening): Message {
  return { kind: "event", fromMs: tMs, items: 1, body: { series, t: tMs, value, attributes } };
}

function waveform({ tMs, rateHz, unit, scale, axes }: Waveform): Message {
  const coded = Object.entries(axes).map(([series, samples]) => [series, base64(samples)]);
  const items = Object.values(axes).reduce((sum, axis) => sum + axis.length, 0);
  return {
    kind: "waveform",
    fromMs: tMs,
    items,
    body: { t: tMs, rateHz, unit, scale, axes: Object.fromEntries(coded) },
  };
}

/** Little-endian 16-bit, as every machine this runs on keeps them. */
function base64(samples: Int16Array): string {
  return Buffer.from(samples.buffer, samples.byteOffset, samples.byteLength).toString("base64");
}
