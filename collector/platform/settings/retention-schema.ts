import { z } from "zod";

const keep = z
  .string()
  .regex(/^(?:forever|(?=.*[1-9])\d+(?:\.\d+)?\s?[hd])$/, "forever, or a time such as 400 d or 36 h")
  .default("forever");

/** How long things are kept, by class; hourly roll-ups and the journal stay for ever. */
export const retentionSchema = z.strictObject({
  readings: keep,
  /** Reduced series of waveforms: rms, peak and so on. */
  waveforms: keep,
  events: keep,
  /** Raw blocks of waveforms. */
  snapshots: keep,
});

/** What readings may take on the disk, in powers of ten; the journal comes on top and is never cut. */
export const diskBudgetSchema = z
  .string()
  .regex(/^(?=.*[1-9])\d+(?:\.\d+)?\s?[MGT]B$/, "a size above 0 such as 500 MB, 50 GB, 1.5 TB");

export type KeptClass = keyof z.infer<typeof retentionSchema>;

export const keptClasses = ["readings", "waveforms", "events", "snapshots"] as const satisfies readonly KeptClass[];

/** Milliseconds by class; null is for ever. */
export type Retention = Readonly<Record<KeptClass, number | null>>;

export function retentionOf(settings: z.infer<typeof retentionSchema> | undefined): Retention {
  return Object.fromEntries(keptClasses.map((one) => [one, keepMs(settings?.[one] ?? "forever")])) as Retention;
}

export function bytesOf(text: string | undefined): number | null {
  if (text === undefined) return null;
  const unit = { M: 1e6, G: 1e9, T: 1e12 }[text.at(-2) as "M" | "G" | "T"];
  return Math.floor(Number.parseFloat(text) * unit);
}

function keepMs(text: string): number | null {
  if (text === "forever") return null;
  return Number.parseFloat(text) * (text.endsWith("h") ? 3.6e6 : 8.64e7);
}
