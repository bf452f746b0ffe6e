import { z } from "zod";

const instant = z.iso.datetime();
const verdict = z.enum(["fault", "undecided", "well"]);

const checkSchema = z.object({
  check: z.string(),
  verdict,
  /** The evidence, in one sentence. */
  says: z.string(),
  /** Of a fault, since when it holds; else when the check last looked. */
  at: instant,
});

export const instrumentSchema = z.object({
  series: z.string(),
  station: z.string(),
  role: z.string(),
  source: z.string(),
  stage: z.string(),
  quantity: z.string(),
  reference: z.string().nullable(),
  unit: z.string(),
  digits: z.number().int(),
  /** What the settings call it, or null where they say nothing of it. */
  is: z.string().nullable(),
  /** `due`: nothing is wrong with it but that its calibration is overdue. `never`: it has not spoken yet. */
  state: z.enum(["fault", "silent", "undecided", "due", "well", "never"]),
  newest: z
    .object({ at: instant, value: z.number().nullable(), quality: z.enum(["good", "uncertain", "bad"]) })
    .nullable(),
  /** Expected spacing at all times in ms; null where it only speaks during runs. */
  everyMs: z.number().nullable(),
  /** What is wrong or undecided now. */
  evidence: z.array(checkSchema),
  /** What each of its checks said last. */
  checks: z.array(checkSchema),
  flag: z.object({ id: z.string(), number: z.number().int(), state: z.enum(["waiting", "taken"]) }).nullable(),
  /** Days of its last calibration and of the next; null where the settings do not say. */
  calibration: z.object({ on: z.string().nullable(), due: z.string().nullable(), overdue: z.boolean() }).nullable(),
  /** Half-width of its error where the specifications lie that it serves, or why none can be stated. */
  shares: z.array(
    z.object({
      characteristic: z.string(),
      name: z.string(),
      part: z.string().nullable(),
      /** Half-width of its error there, in the specification's unit. */
      error: z.number().nullable(),
      unit: z.string(),
      /** Of half the specification's width. */
      share: z.number().nullable(),
      why: z.string().nullable(),
    }),
  ),
});

export const instrumentListSchema = z.object({ now: instant, items: z.array(instrumentSchema) });

export type WireInstrument = z.infer<typeof instrumentSchema>;
export type WireInstrumentList = z.infer<typeof instrumentListSchema>;
