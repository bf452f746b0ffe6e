import { z } from "zod";
import { bothOrNeither, bothWords, idText, instantText, signature } from "./query.ts";

const instant = z.iso.datetime();

/** A person's ask that runs be reckoned anew, and what came of it. */
export const recomputeSchema = z.object({
  id: z.string(),
  station: z.string(),
  /** Runs that ended in from <= t < to. */
  from: instant,
  to: instant,
  by: z.string(),
  at: instant,
  reason: z.string(),
  /** Null while it waits or is being answered. */
  result: z
    .object({
      at: instant,
      runs: z.number().int(),
      /** Of them, those with a new revision. */
      revised: z.number().int(),
      /** Of them, those whose readings are gone: their numbers stay as they were. */
      gone: z.number().int(),
    })
    .nullable(),
});

export const recomputeListSchema = z.object({ items: z.array(recomputeSchema) });

export const recomputeAskSchema = z
  .strictObject({
    station: idText,
    ...signature,
    from: instantText,
    to: instantText,
    reason: z.string().trim().min(1, "words").max(300, "at most 300 characters"),
  })
  .refine(bothOrNeither, bothWords);

export type WireRecompute = z.infer<typeof recomputeSchema>;
