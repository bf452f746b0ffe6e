import type { RoleSample } from "../model/run.ts";
import { dayMs, type ZoneOffsets } from "./clock-slot.ts";
import type { Attributes } from "./open-run.ts";

/** Shifts by the time of day at which each begins, in ms, ascending, on the site's clock. */
export interface ShiftClock {
  readonly shifts: readonly { readonly name: string; readonly fromMs: number }[];
  readonly offsets: ZoneOffsets;
}

/**
 * What is set up at a station after a sample: what events of a holding series said stays until the next one says
 * otherwise, word by word, and a word said to be empty is no more.
 *
 * @shape   samples in time order; holding: roles of series whose words last
 * @unit    words
 * @source  derived here
 * @checked tests/unit/spc/segment/station-context.test.ts
 */
export function heldAfter(held: Attributes, sample: RoleSample, holding: ReadonlySet<string>): Attributes {
  const { attributes } = sample;
  if (attributes === undefined || sample.quality === "bad" || !holding.has(sample.role)) return held;
  return Object.fromEntries(Object.entries({ ...held, ...attributes }).filter(([, word]) => word !== ""));
}

/**
 * Since when what events say of each word holds, a word said to be empty among them.
 *
 * @shape   as `heldAfter`
 * @unit    ms, source time
 * @source  derived here
 * @checked tests/unit/spc/segment/station-context.test.ts
 */
export function heldSinceAfter(
  since: Readonly<Record<string, number>>,
  { attributes, quality, role, tMs }: RoleSample,
  holding: ReadonlySet<string>,
): Readonly<Record<string, number>> {
  if (attributes === undefined || quality === "bad" || !holding.has(role)) return since;
  return { ...since, ...Object.fromEntries(Object.keys(attributes).map((key) => [key, tMs])) };
}

/**
 * The shift that an instant belongs to; null at a site without shifts.
 *
 * @unit    a name
 * @method  the last that began at or before this time of day; before the first of the day it is still the last one
 * @source  derived here
 * @checked tests/unit/spc/segment/station-context.test.ts
 */
export function shiftOf(tMs: number, { shifts, offsets }: ShiftClock): string | null {
  const offset = offsets.findLast(({ fromMs }) => fromMs <= tMs) ?? offsets[0];
  const local = tMs + (offset?.offsetMs ?? 0);
  const time = local - Math.floor(local / dayMs) * dayMs;
  return (shifts.findLast(({ fromMs }) => fromMs <= time) ?? shifts.at(-1))?.name ?? null;
}
