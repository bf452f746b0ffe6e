import type { SignalPolicy } from "./signal.ts";
import type { Specification } from "./specification.ts";

/** What one chart pair watches: one feature at one station, and of one part where charts are by part. */
export interface Characteristic {
  /** `${station}:${feature}` or `${station}:${feature}:${part}`; safe in a URL path. */
  readonly id: string;
  readonly station: string;
  readonly feature: string;
  readonly part: string | null;
  /** Plain word on screens: `plateau`. */
  readonly name: string;
  readonly quantity: Quantity;
  /** `gauge`, `absolute`, `rms`, `peak`; null where the quantity needs none. */
  readonly reference: string | null;
  /** UCUM code. */
  readonly unit: string;
  /** Digits after the point that the instrument deserves. */
  readonly digits: number;
  readonly chart: ChartPairName;
  readonly rules: readonly string[];
  readonly specification: Specification | null;
  /** Expected time from one point to the next. */
  readonly everyMs: number;
  readonly policies: readonly SignalPolicy[];
  /** The one that stands on its station's strip. */
  readonly main: boolean;
}

export type ChartPairName = "individuals";

export type Quantity =
  | "steam-pressure"
  | "dryer-humidity"
  | "oven-temperature"
  | "vibration-acceleration"
  | "pour-temperature";

export function characteristicId(station: string, feature: string, part: string | null): string {
  return part === null ? `${station}:${feature}` : `${station}:${feature}:${part}`;
}
