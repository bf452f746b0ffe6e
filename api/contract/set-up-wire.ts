import { z } from "zod";
import { bothOrNeither, bothWords, idText, instantText, signature } from "./query.ts";

/** What people say is set up at a station: part, tool, cavity, lot, alloy, filling medium. */

const instant = z.iso.datetime();
const reason = z.string().trim().min(1, "words").max(300, "at most 300 characters");
/** A scanner's separators and other characters that nobody sees are none of the word. */
const word = z
  .string("a word")
  .transform((text) => text.replaceAll(/\p{C}/gu, "").trim())
  .pipe(z.string().max(60, "at most 60 characters"))
  .meta({ type: "string", maxLength: 60 });

const setUpWordSchema = z.object({
  key: z.string(),
  name: z.string(),
  /** What may be said; empty where any word may. */
  choices: z.array(z.string()),
  /** How codes of this word begin, where the settings say it. */
  prefix: z.string().nullable(),
});

const wordsSchema = z.record(z.string(), z.string());

const setUpStationSchema = z.object({
  station: z.string(),
  stage: z.string(),
  line: z.string(),
  words: z.array(setUpWordSchema),
  /** What people said and holds now, by word. */
  now: z.record(z.string(), z.object({ word: z.string(), since: instant, by: z.string() })),
  /** What the newest run had, whoever said it. */
  lastRun: z.object({ id: z.string(), runWord: z.string(), start: instant, context: wordsSchema }).nullable(),
});

/** Every station where something can be set up. */
export const setUpBookSchema = z.object({ now: instant, stations: z.array(setUpStationSchema) });

/** One entry, as it was written. */
export const setUpSchema = z.object({
  id: z.string(),
  station: z.string(),
  words: wordsSchema,
  from: instant,
  saidAt: instant,
  by: z.string(),
  note: z.string(),
  /** Said more than 15 minutes after it began to hold: runs that were cut meanwhile do not have it. */
  late: z.boolean(),
  /** Source time from which on runs are cut knowing it; null until the station's line has read it. */
  knownFrom: instant.nullable(),
  /** What it stands instead of, and why. */
  instead: z.string().nullable(),
  reason: z.string(),
  /** What stands instead of it. */
  replacedBy: z.string().nullable(),
});

export const setUpListSchema = z.object({ items: z.array(setUpSchema) });

const wordsAsk = z
  .record(z.string().min(1).max(48), word)
  .refine((words) => Object.keys(words).length <= 12, "at most 12 words");

export const saySetUpSchema = z
  .strictObject({
    station: idText,
    ...signature,
    /** From when on it holds, for runs that begin then or later. */
    from: instantText,
    /** A word that is empty is no more. */
    words: wordsAsk.refine((words) => Object.keys(words).length > 0, "at least one word"),
    note: z.string().trim().max(500).default(""),
  })
  .refine(bothOrNeither, bothWords);

export const correctSetUpSchema = z
  .strictObject({
    ...signature,
    /** What should have been said; none takes it back. */
    words: wordsAsk,
    /** Left out, as it was. */
    from: instantText.optional(),
    reason,
  })
  .refine(bothOrNeither, bothWords);

export type WireSetUpBook = z.infer<typeof setUpBookSchema>;
export type WireSetUpStation = WireSetUpBook["stations"][number];
export type WireSetUpWord = z.infer<typeof setUpWordSchema>;
export type WireSetUp = z.infer<typeof setUpSchema>;
export type SaySetUpAsk = z.output<typeof saySetUpSchema>;
export type CorrectSetUpAsk = z.output<typeof correctSetUpSchema>;
