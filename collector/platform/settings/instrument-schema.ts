import { z } from "zod";
import { duration, id, words } from "./schema-parts.ts";

const positive = z.number().positive();

/** The level that a step leads to: a number, or what another role reads in that segment. */
const stepTo = { to: z.number().optional(), toAt: id.optional() };

/**
 * What is known of the instrument behind a series, and so what it can be asked. All numbers are in the series' unit;
 * differences of temperatures in kelvin.
 */
export const instrumentSchema = z.strictObject({
  /** In words: `piezoresistive transmitter, 0.5 % of span`. */
  is: words,
  /** How its value reaches the gateway: a 4 to 20 mA loop says broken wires by its current. */
  wiring: z.enum(["thermocouple", "loop", "other"]).optional(),
  thermocouple: z
    .strictObject({
      type: z.enum(["B", "E", "J", "K", "N", "R", "S", "T"]),
      class: z.enum(["class-1", "class-2", "class-3", "standard", "special"]),
    })
    .optional(),
  resistance: z.strictObject({ class: z.enum(["AA", "A", "B", "C"]), kind: z.enum(["wire-wound", "film"]) }).optional(),
  /** Half-width of its error, and where that is a share of the reading, that share. */
  error: positive.optional(),
  errorShare: positive.max(1).optional(),
  /** What it can show, both ends. */
  range: z
    .strictObject({ lower: z.number(), upper: z.number() })
    .refine((range) => range.lower < range.upper, { message: "a lower end below the upper one" })
    .optional(),
  /** Sigma of single readings while the process rests: a living instrument shows at least that. */
  noise: positive.optional(),
  /** Of what people take or scales weigh: sigma from one taking to the next. */
  spread: positive.optional(),
  /** A known state at the end of a segment: a number, or what another role reads. */
  zero: z
    .strictObject({
      segment: words,
      /** Of a waveform: what it is reduced to that has the known state, such as its mean `dc`. */
      of: z.enum(["rms", "peak", "hf", "dc"]).optional(),
      last: duration,
      is: z.number().default(0),
      against: id.optional(),
      within: positive,
      where: words,
    })
    .optional(),
  /** Instruments that see the same thing, and the change against them that matters. */
  peers: z.strictObject({ roles: z.array(id).min(1).max(8), within: positive }).optional(),
  /** A segment that begins with a step toward a level, and the longest time constant of a healthy answer. */
  slow: z
    .strictObject({
      segment: words,
      ...stepTo,
      atMost: duration,
      witness: z.strictObject({ role: id, ...stepTo, atMost: duration }).optional(),
    })
    .optional(),
  /** What another role told last of a run is the least that this one may read at its end: a dry weight, say. */
  least: z.strictObject({ at: id, last: duration, within: positive, where: words }).optional(),
  /** Of a thermocouple: temperature round its terminals. */
  terminals: z.number().optional(),
  calibrateEvery: duration.optional(),
});

export type InstrumentSettings = z.infer<typeof instrumentSchema>;

/** When each instrument of a station was last calibrated, by role. */
export const calibratedSchema = z.record(id, z.iso.date("a date such as 2026-03-02"));

/** What feeds several stations: steam header, power, compressed air. A gateway does so by being their source. */
export const supplySchema = z.strictObject({
  id,
  /** In words: `steam header of boiler BO-1`. */
  name: words.max(40),
  /** What the stations are called together: `presses`. */
  feeds: words.max(24),
  /** The station that measures the supply itself: its flags stand under the supply's. */
  measuredAt: id.optional(),
  /** Only flags on these quantities can have it as their cause; left out, all. */
  quantities: z.array(z.string().min(1).max(48)).max(16).optional(),
  doFirst: z.string().trim().min(1).max(80),
});

export type SupplySettings = z.infer<typeof supplySchema>;
