import type { RoleSample } from "../model/run.ts";
import type { ZoneOffsets } from "./clock-slot.ts";
import type { Attributes } from "./open-run.ts";

/** Shifts by the time of day at which each begins, in ms, ascending, on the site's clock. */
export interface ShiftClock {
  readonly shifts: readonly {
    readonly name: string;
    readonly fromMs: number;
    /** Weekdays on which it begins, 0 for Monday; every day where none are told. */
    readonly days?: readonly number[];
  }[];
  readonly offsets: ZoneOffsets;
  /** Days on which no shift begins, whatever its weekdays: since 1 January 1970, on the site's clock. */
  readonly freeDays?: readonly number[];
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
