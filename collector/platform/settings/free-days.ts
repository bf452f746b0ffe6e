import { z } from "zod";

const dayMs = 86_400_000;
/** Longer than any works is shut, so that a slip in a year is noticed. */
const MOST_DAYS = 62;
const date = z.iso.date("a date such as 2026-12-25");

type FreeDays = string | { readonly from: string; readonly to: string };

/** A day of the site's calendar, or all from one to another. */
export const freeDaysSchema = z.union([
  date,
  z
    .strictObject({ from: date, to: date })
    .refine(({ from, to }) => from <= to, "a first day that is not after the last")
    .refine((span) => daysOf(span).length <= MOST_DAYS, `no more than ${MOST_DAYS} days from the first to the last`),
]);
/** Counted from 1 January 1970. */
export function daysOf(free: FreeDays): readonly number[] {
  const { from, to } = typeof free === "string" ? { from: free, to: free } : free;
  const [first, last] = [Date.parse(from) / dayMs, Date.parse(to) / dayMs];
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => first + i);
}
