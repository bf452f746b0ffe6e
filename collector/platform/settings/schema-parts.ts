import { z } from "zod";

/** Ids travel in topics, URLs and file names, so they are short and plain. */
export const id = z
  .string()
  .regex(/^[A-Za-z0-9][A-Za-z0-9_.-]{0,47}$/, "an id: letters, digits, dot, dash, underscore");
export const ucum = z.string().min(1).max(24);
