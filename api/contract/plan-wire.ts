import { z } from "zod";
import { chartKindSchema, specificationSchema } from "./wire.ts";

/** The control plan that follows from the settings in force: what is watched where, against what, and what to do first. */

const policySchema = z.object({
  label: z.enum(["act-now", "look", "for-review", "instrument-fault"]),
  rule: z.string(),
  side: z.enum(["above", "below"]).nullable(),
  says: z.string().nullable(),
  doFirst: z.string().nullable(),
});

const planRowSchema = z.object({
  stage: z.string(),
  kind: z.string(),
  stations: z.array(z.string()),
  runWord: z.string(),
  feature: z.string(),
  name: z.string(),
  quantity: z.string(),
  reference: z.string().nullable(),
  unit: z.string(),
  digits: z.number().int(),
  /** Words that each have a chart of their own. */
  by: z.array(z.string()),
  plotted: z.enum(["deviation", "z"]).nullable(),
  specification: specificationSchema.nullable(),
  /** What is stated of single parts. */
  parts: z.array(
    z.object({ part: z.string(), specification: specificationSchema.nullable(), target: z.number().nullable() }),
  ),
  chart: chartKindSchema,
  /** Runs of a full subgroup. */
  subgroup: z.number().int(),
  ewma: z.object({ lambda: z.number(), width: z.number() }).nullable(),
  rules: z.array(z.string()),
  /** Expected time from run to run. */
  everyMs: z.number(),
  /** Measured and written down by a person. */
  byHand: z.boolean(),
  /** Most urgent first. */
  reactions: z.array(policySchema),
  source: z.string().nullable(),
  confidence: z.enum(["low", "medium", "high"]).nullable(),
});

export const controlPlanSchema = z.object({
  site: z.string(),
  zone: z.string(),
  at: z.iso.datetime(),
  version: z.string(),
  rows: z.array(planRowSchema),
});

export type WireControlPlan = z.infer<typeof controlPlanSchema>;
export type WirePlanRow = z.infer<typeof planRowSchema>;
