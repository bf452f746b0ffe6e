import { blackSideFaults } from "./faults/black-side.ts";
import { instrumentFaults } from "./faults/instruments.ts";
import type { FaultKind } from "./faults/kind.ts";
import { whiteSideFaults } from "./faults/white-side.ts";

/** One fault, switched on: fromMs <= t < toMs. */
export interface Fault {
  readonly name: string;
  /** Station, series or source. */
  readonly station: string;
  readonly fromMs: number;
  readonly toMs: number;
  /** How large it is beside what its kind says; left out, 1. */
  readonly size?: number;
}

export const faultKinds: readonly FaultKind[] = [...whiteSideFaults, ...blackSideFaults, ...instrumentFaults];

/**
 * Faults that a run model of features cannot show: they are of single readings or of messages. They are
 * injected where payloads are made, and nowhere else.
 */
export const traceOnlyFaults: ReadonlySet<string> = new Set([
  ...["stuck", "wire-open", "offset", "drift", "spikes", "shorted", "dropout", "silent", "outage", "clock-skew"],
  ...["cable-intermittent", "sensor-clips", "axis-reversed", "reading-repeated"],
]);

/** Asks which faults are on. */
export interface FaultPlan {
  /** The fault of that name at that station that is on at that time. */
  on(name: string, station: string, tMs: number): Fault | undefined;
  /** Its size at that time, 0 where it is not on. */
  size(name: string, station: string, tMs: number): number;
  /** How far one that grows evenly has grown by then: its size times the days since it began; 0 where it is not on. */
  grown(name: string, station: string, tMs: number): number;
  /** All of that name at that station, in order of their start. */
  all(name: string, station: string): readonly Fault[];
}

const dayMs = 86_400_000;
/** Where a fault at one place is one at another: the boiler feeds every press, and so does the chiller. */
const shared: Readonly<Record<string, string>> = { "boiler-sag": "BO-1", "chiller-off": "BO-1" };

export function faultPlace({ name, station }: Pick<Fault, "name" | "station">): string {
  return shared[name] ?? station;
}

const none: readonly Fault[] = [];

export function faultPlan(faults: readonly Fault[]): FaultPlan {
  const byPlace = new Map<string, Map<string, Fault[]>>();
  for (const fault of [...faults].sort((a, b) => a.fromMs - b.fromMs)) {
    const places = byPlace.get(fault.name) ?? new Map<string, Fault[]>();
    byPlace.set(fault.name, places);
    const place = faultPlace(fault);
    places.set(place, [...(places.get(place) ?? []), fault]);
  }
  const all = (name: string, station: string): readonly Fault[] =>
    byPlace.get(name)?.get(shared[name] ?? station) ?? none;
  const on = (name: string, station: string, tMs: number): Fault | undefined => {
    for (const fault of all(name, station)) if (fault.fromMs <= tMs && tMs < fault.toMs) return fault;
    return undefined;
  };
  const sizeOf = (fault: Fault | undefined): number => (fault === undefined ? 0 : (fault.size ?? 1));
  return {
    all,
    on,
    size: (name, station, tMs) => sizeOf(on(name, station, tMs)),
    grown: (name, station, tMs) => {
      const fault = on(name, station, tMs);
      return fault === undefined ? 0 : (sizeOf(fault) * (tMs - fault.fromMs)) / dayMs;
    },
  };
}
