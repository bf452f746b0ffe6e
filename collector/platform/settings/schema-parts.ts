import { z } from "zod";

/** Ids travel in topics, URLs and file names, so they are short and plain. */
export const id = z
  .string()
  .regex(/^[A-Za-z0-9][A-Za-z0-9_.-]{0,47}$/, "an id: letters, digits, dot, dash, underscore");
export const ucum = z.string().min(1).max(24);
export const words = z.string().trim().min(1).max(80);
export const duration = z
  .string()
  .regex(/^(?=.*[1-9])\d+(\.\d+)?\s?(ms|s|min|h|d)$/, "a duration above 0 such as 500 ms, 30 s, 5 min, 4 h, 1 d");
