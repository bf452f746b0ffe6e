import { type Fault, faultKinds, faultPlace } from "../../../simulator/faults.ts";
import type { PlantKey } from "../../../simulator/plant-layout.ts";
import { type Random, randomAt } from "../../../simulator/random.ts";
import { plantModel } from "../../../simulator/runs/model.ts";
import { runBooks } from "../../../simulator/runs/true-runs.ts";
import { type Schedule, startOf } from "../../../simulator/schedule.ts";
import { instrumentPlaces, type SizedFault, sizedFaults } from "./sized-faults.ts";

const hourMs = 3_600_000;
/** What a chart may take to forget a fault that is over. */
export const restMs: number = 2 * hourMs;

/** One fault as it was injected. */
export interface Injected {
  readonly fault: Fault;
  /** From when on it can be seen. A drift begins half grown at the start of the score. */
  readonly fromMs: number;
  readonly toMs: number;
  /** Times the size that matters; null where it has no size. */
  readonly times: number | null;
  readonly sized: SizedFault;
}

interface Busy {
  readonly stations: readonly string[];
  readonly fromMs: number;
  readonly toMs: number;
}

/**
 * The faults of one plant, from its seed alone: every kind has its turn, places, times and sizes are drawn. No station
 * has two at once, and each has some hours to forget one.
 */
export function randomFaults(key: PlantKey, toMs: number, depth: "full" | "runs"): Injected[] {
  const random = randomAt(key.seed, "score", 0, "faults");
  const kinds = kindsAt(depth);
  const schedules = schedulesOf(key);
  const busy: Busy[] = [];
  const chosen: Injected[] = [];
  // Some rounds, so that short faults fill what long ones leave.
  for (let round = 0; round < 3; round += 1) {
    for (const sized of shuffled(kinds, random)) {
      const one = placed(key, toMs, sized, random, schedules, busy);
      if (one === null) continue;
      chosen.push(one);
      const stations = stationsOf(one.fault);
      const span = wholeLoads(stations, schedules, one);
      busy.push({ stations, fromMs: span.fromMs - restMs, toMs: span.toMs + restMs });
    }
  }
  return chosen.sort((a, b) => a.fromMs - b.fromMs);
}

/** Faults that only the raw trace shows are injected at full depth alone. */
export function kindsAt(depth: "full" | "runs"): readonly SizedFault[] {
  if (depth === "full") return [...sizedFaults, ...ofInstruments()];
  return sizedFaults.filter(({ traceShift }) => traceShift === undefined);
}

function ofInstruments(): SizedFault[] {
  return Object.entries(instrumentPlaces).map(([name, { places, hours, size }]) => ({
    ...{ name, places, hours, matters: size ?? null, times: [1], traceShift: 0 },
  }));
}

/** A place and a time that are free, or null after some tries. */
function placed(
  key: PlantKey,
  toMs: number,
  sized: SizedFault,
  random: Random,
  schedules: ReadonlyMap<string, Schedule>,
  busy: readonly Busy[],
): Injected | null {
  for (let attempt = 0; attempt < 8; attempt += 1) {
    const station = pick(sized.places, random);
    const times = sized.matters === null ? null : pick(sized.times, random);
    const [least, most] = sized.hours;
    const lastsMs = Math.round((least + (most - least) * random.uniform()) * hourMs);
    const at = random.uniform();
    const span = spanOf(key, toMs, sized, schedules.get(station), lastsMs, at);
    if (span === null) continue;
    const size = sized.matters === null || times === null ? null : sized.matters * times;
    const fault: Fault = {
      ...{ name: sized.name, station, fromMs: span.fromMs - grownMs(sized, size), toMs: span.toMs },
      ...(size === null || !hasSize(sized.name) ? {} : { size }),
    };
    const stations = stationsOf(fault);
    const loads = wholeLoads(stations, schedules, span);
    const taken = busy.some(
      (one) => one.fromMs < loads.toMs && one.toMs > loads.fromMs && one.stations.some((id) => stations.includes(id)),
    );
    if (!taken) return { fault, ...span, times, sized };
  }
  return null;
}

/** A run as long as this may hold a fault in its morning and another one at night. */
const longRunMs = 4 * hourMs;

/**
 * The span of a fault with the loads that it begins and ends in: an instrument that fails in the same load takes away the
 * number that would have shown a door, or is taken for it. One load, one fault.
 */
function wholeLoads(
  stations: readonly string[],
  schedules: ReadonlyMap<string, Schedule>,
  { fromMs, toMs }: Span,
): Span {
  const own = stations.flatMap((id) => schedules.get(id) ?? []).filter(({ periodMs }) => periodMs >= longRunMs);
  const starts = (schedule: Schedule, tMs: number): readonly number[] => {
    const about = Math.floor((tMs - schedule.originMs) / schedule.periodMs);
    return [about - 1, about, about + 1, about + 2].map((number) => startOf(schedule, number));
  };
  return {
    fromMs: Math.min(fromMs, ...own.map((one) => Math.max(...starts(one, fromMs).filter((ms) => ms <= fromMs)))),
    toMs: Math.max(toMs, ...own.map((one) => Math.min(...starts(one, toMs).filter((ms) => ms >= toMs)))),
  };
}

interface Span {
  readonly fromMs: number;
  readonly toMs: number;
}

function spanOf(
  { firstMs }: PlantKey,
  toMs: number,
  { whole, inside, drift }: SizedFault,
  schedule: Schedule | undefined,
  lastsMs: number,
  at: number,
): Span | null {
  if (drift !== undefined || firstMs + lastsMs >= toMs) return { fromMs: firstMs, toMs };
  if ((whole ?? inside) === undefined || schedule === undefined) {
    const fromMs = Math.round(firstMs + at * (toMs - firstMs - lastsMs));
    return { fromMs, toMs: fromMs + lastsMs };
  }
  const first = Math.ceil((firstMs - schedule.originMs) / schedule.periodMs) + 1;
  const last = Math.floor((toMs - lastsMs - schedule.originMs) / schedule.periodMs) - 1;
  if (last < first) return null;
  const number = first + Math.floor(at * (last - first + 1));
  const startMs = startOf(schedule, number);
  if (inside !== undefined) {
    const fromMs = startMs + Math.round(inside * hourMs);
    return { fromMs, toMs: fromMs + lastsMs };
  }
  return { fromMs: startMs - 240_000, toMs: startOf(schedule, number + (whole as number)) - 240_000 };
}

/** How long before it is seen a drift must have begun to be half of what matters by then. */
function grownMs({ drift }: SizedFault, size: number | null): number {
  return drift === undefined ? 0 : Math.round(((0.5 * drift.matters) / (drift.aDay * (size ?? 1))) * 24 * hourMs);
}

function hasSize(name: string): boolean {
  const kind = faultKinds.find((one) => one.name === name);
  if (kind === undefined) throw new RangeError(`no fault is called ${name}`);
  return kind.size !== null;
}

/** Stations whose own runs a fault touches. */
export function stationsOf(fault: Pick<Fault, "name" | "station">): readonly string[] {
  const place = faultPlace(fault).split("/")[0] as string;
  if (place === "BO-1") return ["HD-1", "PR-01", "PR-02", "PR-03", "PR-04"];
  if (fault.name === "cooler-water-off") return ["SC-1", "CT-A1", "CT-A2", "CT-F1", "CT-F2"];
  if (fault.name === "early-shakeout") return [place, place.replace("CO", "SK")];
  if (fault.name === "wrong-powder" || fault.name === "foaming" || fault.name === "drain-short")
    return [place, "RD-1", "CW-1"];
  if (fault.name === "cold-metal") return [place, "SK-A"];
  return behind[place] ?? [place];
}

/** Stations of the gateways that a fault silences. */
const behind: Readonly<Record<string, readonly string[]>> = {
  "GW-AO": ["AO-1"],
  "GW-DR": ["DR-1", "DR-2", "DR-3"],
  "GW-FU": ["FU-A1", "FU-F1", "FU-F2"],
  "GW-SK": ["CO-A", "CO-F", "SK-A", "SK-F", "SC-1", "IN-1"],
  "GW-CT": ["CT-A1", "CT-A2", "CT-F1", "CT-F2"],
  "GW-PO": ["PO-A", "PO-F"],
};

function schedulesOf(key: PlantKey): ReadonlyMap<string, Schedule> {
  const model = plantModel(key, []);
  const own = [...runBooks(model)].map(([id, { schedule }]): [string, Schedule] => [id, schedule]);
  return new Map([...own, ["AO-1", model.oven.schedule]]);
}

function pick<T>(among: readonly T[], random: Random): T {
  return among[Math.floor(random.uniform() * among.length)] as T;
}

function shuffled<T>(all: readonly T[], random: Random): T[] {
  return all
    .map((one) => ({ one, at: random.uniform() }))
    .sort((a, b) => a.at - b.at)
    .map(({ one }) => one);
}
