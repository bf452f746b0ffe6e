import { z } from "zod";
import { bothOrNeither, bothWords, idText, instantText, signature } from "./query.ts";

/** Values that people measure and write down. */

const instant = z.iso.datetime();
const words = (most: number): z.ZodString => z.string().trim().min(1, "words").max(most, `at most ${most} characters`);
const finite = z.number("a number with a decimal point");

const boundsSchema = z.object({ lower: z.number(), upper: z.number() });

const writtenShape = {
  values: z.array(z.number()),
  by: z.string(),
};

const handFieldSchema = z.object({
  feature: z.string(),
  name: z.string(),
  quantity: z.string(),
  reference: z.string().nullable(),
  unit: z.string(),
  digits: z.number().int(),
  /** Pieces that are measured at a time. */
  values: z.number().int(),
  plausible: boundsSchema.nullable(),
  how: z.string().nullable(),
  byPart: z.boolean(),
  parts: z.array(z.string()),
  /** Expected time from one value to the next, in ms. */
  everyMs: z.number(),
  /** What was written last, whatever its part. */
  last: z.object({ ...writtenShape, takenAt: instant }).nullable(),
});

const handStationSchema = z.object({
  station: z.string(),
  stage: z.string(),
  line: z.string(),
  fields: z.array(handFieldSchema),
});

/** Everything that is measured by hand, by station. */
export const handBookSchema = z.object({ now: instant, stations: z.array(handStationSchema) });

/** One entry as it stands: what was written first stays, corrections follow it, oldest first. */
export const writtenSchema = z.object({
  id: z.string(),
  station: z.string(),
  feature: z.string(),
  unit: z.string(),
  ...writtenShape,
  takenAt: instant,
  writtenAt: instant,
  /** Written down more than 15 minutes after it was taken: what it shows is listed and sends no message. */
  late: z.boolean(),
  /** Runs that it made, a value each; those taken before a newer one of the same chart are on no chart. */
  runs: z.array(z.string()),
  context: z.record(z.string(), z.string()),
  ofRun: z.string().nullable(),
  note: z.string(),
  corrections: z.array(z.object({ ...writtenShape, at: instant, reason: z.string() })),
});

const valuesAsk = z.array(finite).min(1, "at least one number").max(25, "at most 25 numbers");
const sure = z.boolean().default(false);

export const writeDownSchema = z
  .strictObject({
    station: idText,
    ...signature,
    /** When it was measured; not when it is written down. */
    takenAt: instantText,
    context: z.record(words(32), words(60)).default({}),
    /** Run of the station that was measured. */
    ofRun: idText.optional(),
    note: z.string().trim().max(500).default(""),
    values: z
      .array(z.strictObject({ feature: idText, unit: words(24), values: valuesAsk }))
      .min(1, "at least one value")
      .max(40, "at most 40 features"),
    /** The person was asked about values beyond what is plausible, and says that they are so. */
    sure,
  })
  .refine(bothOrNeither, bothWords);

export const correctAskSchema = z
  .strictObject({ ...signature, values: valuesAsk, reason: words(300), sure })
  .refine(bothOrNeither, bothWords);

export const writtenListSchema = z.object({ items: z.array(writtenSchema) });

export type WireHandBook = z.infer<typeof handBookSchema>;
export type WireHandField = z.infer<typeof handFieldSchema>;
export type WireWritten = z.infer<typeof writtenSchema>;
export type WriteDownAsk = z.output<typeof writeDownSchema>;
export type CorrectAsk = z.output<typeof correctAskSchema>;
