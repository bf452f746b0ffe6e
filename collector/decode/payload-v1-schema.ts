import { z } from "zod";

/** Bounds of one message: what a gateway may send at once. */
export const messageBounds = {
  bytes: 1_048_576,
  readings: 10_000,
  blockValues: 10_000,
  axes: 16,
  attributes: 32,
  idLength: 128,
  textLength: 200,
} as const;

const id = z.string().min(1).max(messageBounds.idLength);
const instant = z
  .union([z.iso.datetime({ offset: true }), z.int()])
  .describe("The source's own time: ISO 8601 with an offset, or whole milliseconds since 1970-01-01T00:00:00Z");
const unit = z.string().min(1).max(24).describe("UCUM code");
const head = {
  v: z.literal(1),
  source: id.describe("The sender's id, as in the settings"),
  seq: z.int().min(0).optional().describe("The sender's own counter of messages: shows what never arrived"),
};

const reading = z.object({
  series: id.describe("Station and role: PR-01/pressure"),
  t: instant,
  value: z.number(),
  values: z.never().optional(),
  unit,
  quality: z.enum(["good", "uncertain", "bad"]).optional().describe("good when left out"),
});
const noReading = z.object({ ...reading.shape, value: z.null(), quality: z.literal("bad") });
const block = z.object({
  series: reading.shape.series,
  t: instant.describe("Time of the first value"),
  everyMs: z.number().min(1).max(3_600_000),
  value: z.never().optional(),
  values: z
    .array(z.number().nullable())
    .min(1)
    .max(messageBounds.blockValues)
    .describe("null: no number, stored as bad"),
  unit,
  quality: reading.shape.quality,
});

const readings = z.object({
  ...head,
  kind: z.literal("readings"),
  readings: z
    .array(z.union([reading, noReading, block]))
    .min(1)
    .max(messageBounds.readings),
});

const waveform = z.object({
  ...head,
  kind: z.literal("waveform"),
  t: instant.describe("Time of the first sample"),
  rateHz: z.number().positive().max(1_000_000),
  unit,
  scale: z.number().positive().describe("A sample times this is a value in `unit`"),
  axes: z
    .record(id, z.base64().describe("int16 samples, little-endian, one second of them"))
    .refine((axes) => inside(Object.keys(axes).length, 1, messageBounds.axes), { message: "1 to 16 axes" }),
});

const event = z.object({
  ...head,
  kind: z.literal("event"),
  series: id.describe("Station and role: PR-01/step"),
  t: instant,
  value: z.number().describe("Step or state number; 1 starts and 0 stops"),
  attributes: z
    .record(z.string().min(1).max(messageBounds.idLength), z.string().max(messageBounds.textLength))
    .refine((all) => Object.keys(all).length <= messageBounds.attributes, { message: "at most 32 attributes" })
    .optional()
    .describe("What ran there: part, flask, ladle"),
});

/** Shape of one message, version 1. The decoder is written by hand for speed and better words; a test holds them equal. */
export const payloadV1Schema = z.discriminatedUnion("kind", [readings, waveform, event]);

/** The JSON Schema as published in `payload-v1.schema.json`; a test holds the two equal. */
export function publishedPayloadSchema(): Readonly<Record<string, unknown>> {
  return {
    title: "Steadypour readings, version 1",
    description: "One MQTT message: readings, a second of waveform, or an event. Unknown fields are ignored.",
    ...z.toJSONSchema(payloadV1Schema, { io: "input" }),
  };
}

function inside(count: number, least: number, most: number): boolean {
  return least <= count && count <= most;
}
