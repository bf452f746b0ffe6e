import { z } from "zod";

/** Parts of a query string. Everything arrives as text and is read strictly: `1e3`, ` 5` and `` are mistakes. */

export const defaultLimit = 1000;
const largestLimit = 1000;

export const limitText = countText(largestLimit, defaultLimit);

const mostColumns = 4000;
export const defaultColumns = 800;

export const columnsText = countText(mostColumns, defaultColumns);

/** Opaque: what stood in `next` of the page before. */
export const cursorText = z
  .string()
  .regex(/^[A-Za-z0-9_-]{1,400}$/, "the text that stood in `next` of the page before")
  .meta({ description: "What stood in `next` of the page before." });

const instantWords = "an instant such as 2026-11-25T08:05:12.345Z, or whole milliseconds since 1970 in UTC";

/** ISO 8601 with offset, or milliseconds since the epoch; comes out as milliseconds. */
export const instantText = z
  .string()
  .refine((text) => instantMs(text) !== undefined, instantWords)
  .transform((text) => instantMs(text) as number)
  .meta({ description: `${instantWords[0]?.toUpperCase()}${instantWords.slice(1)}.` });

export const idText = z.string().min(1).max(200);

function instantMs(text: string): number | undefined {
  if (/^-?\d{1,15}$/.test(text)) return Number(text);
  // A plus sign that was not percent-encoded arrives as a space.
  const whole = text.replace(/ (?=\d\d:\d\d$)/, "+");
  return z.iso.datetime({ offset: true }).safeParse(whole).success ? Date.parse(whole) : undefined;
}

/** A whole number from 1 to `most`, written in digits. */
function countText(most: number, usual: number): z.ZodType<number, string> {
  const wanted = `a whole number from 1 to ${most}`;
  return z
    .string()
    .regex(/^\d{1,6}$/, wanted)
    .transform(Number)
    .refine((n) => n >= 1 && n <= most, wanted)
    .meta({
      type: "integer",
      minimum: 1,
      maximum: most,
      pattern: undefined,
      description: `${usual} unless told otherwise.`,
    });
}

/** Who decides, where the session does not say it: a person and their PIN, both or neither. */
export const signature = { by: idText.optional(), pin: z.string("a PIN").max(100).optional() };

export function bothOrNeither({
  by,
  pin,
}: {
  readonly by?: string | undefined;
  readonly pin?: string | undefined;
}): boolean {
  return (by === undefined) === (pin === undefined);
}

export const bothWords = { path: ["pin"], error: "a person and their PIN, both or neither" };
