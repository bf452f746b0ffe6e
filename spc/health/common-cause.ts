/** What feeds several stations: a header, a power supply, a gateway. */
export interface Feeder {
  readonly id: string;
  readonly stations: readonly string[];
}

/** A flag that opened at a station, by source time. */
export interface Opening {
  readonly flag: string;
  readonly station: string;
  readonly atMs: number;
}

/** Plain JSON. */
export interface CommonState {
  /** Openings that may still become part of a group, in the order in which they were found. */
  readonly loose: readonly Opening[];
  /** The newest group: flags that open within five minutes of its last one, or of its last signal, join it. */
  readonly group: { readonly flag: string; readonly firstMs: number; readonly lastMs: number } | null;
}

export const noCommon: CommonState = { loose: [], group: null };

/** So many stations that share one supply, within so long, point at what they share. */
const leastStations = 3;
export const commonWithinMs = 300_000;
/** Openings are found in an order of their own, so a loose one waits for others that are found late. */
const keptMs = 6 * commonWithinMs;

/**
 * Common cause: flags at three or more stations behind one feeder within five minutes are one thing to look at first.
 *
 * @shape   openings in the order in which they were found, whatever their source times
 * @unit    ms, source time
 * @method  three stations whose flags opened within 5 min make a group, named after its feeder and its first opening;
 *          further ones within 5 min of any of its own join. Of stations that flag by chance r times an hour each, the
 *          three of any trio come together 3 r^3 w^2 times an hour, w = 1/12 h, times the trios there are: with four
 *          stations at one chance flag in 10 h, once in 12,000 h
 * @cost    O(openings of half an hour)
 * @source  rate of coincidences of three Poisson processes, derived here; 3 stations and 5 min: common practice, no source
 * @checked tests/unit/spc/health/common-cause.test.ts, tests/property/spc/health/common-cause.test.ts
 */
export function commonCause(
  state: CommonState,
  opening: Opening,
  feeder: Feeder,
): { readonly state: CommonState; readonly flag: string | null; readonly joined: readonly Opening[] } {
  const { group } = state;
  if (!feeder.stations.includes(opening.station)) return { state, flag: null, joined: [] };
  if (group !== null && near(opening.atMs, group.firstMs, group.lastMs)) {
    const firstMs = Math.min(group.firstMs, opening.atMs);
    const lastMs = Math.max(group.lastMs, opening.atMs);
    return { state: { ...state, group: { ...group, firstMs, lastMs } }, flag: group.flag, joined: [opening] };
  }
  const newestMs = Math.max(opening.atMs, ...state.loose.map(({ atMs }) => atMs));
  const loose = [...state.loose, opening].filter(({ atMs }) => newestMs - atMs <= keptMs);
  const together = windowAround(loose, opening);
  if (new Set(together.map(({ station }) => station)).size < leastStations) {
    return { state: { ...state, loose }, flag: null, joined: [] };
  }
  const times = together.map(({ atMs }) => atMs);
  const firstMs = Math.min(...times);
  const flag = `${feeder.id}:common:${new Date(firstMs).toISOString().replaceAll(/[-:.]/g, "")}`;
  const rest = loose.filter((one) => !together.includes(one));
  return { state: { loose: rest, group: { flag, firstMs, lastMs: Math.max(...times) } }, flag, joined: together };
}

/**
 * Goes on: a flag of the group got another signal, so what acts on its stations is not over.
 *
 * @shape   the state, and the source time of the signal
 * @unit    ms, source time
 * @method  the group reaches to it if it is within five minutes of what it reaches over; else nothing changes
 * @cost    O(1)
 * @source  common practice, no source
 * @checked tests/unit/spc/health/common-cause.test.ts
 */
export function goesOn(state: CommonState, atMs: number): CommonState {
  const { group } = state;
  if (group === null || atMs <= group.lastMs || !near(atMs, group.firstMs, group.lastMs)) return state;
  return { ...state, group: { ...group, lastMs: atMs } };
}

function near(atMs: number, firstMs: number, lastMs: number): boolean {
  return atMs >= firstMs - commonWithinMs && atMs <= lastMs + commonWithinMs;
}

/** Of all stretches of five minutes that hold the opening, the one with most stations; of equal ones the earliest. */
function windowAround(loose: readonly Opening[], { atMs }: Opening): readonly Opening[] {
  let best: readonly Opening[] = [];
  let most = 0;
  for (const { atMs: fromMs } of [...loose].sort((a, b) => a.atMs - b.atMs)) {
    if (fromMs > atMs || atMs - fromMs > commonWithinMs) continue;
    const inside = loose.filter((one) => one.atMs >= fromMs && one.atMs - fromMs <= commonWithinMs);
    const stations = new Set(inside.map(({ station }) => station)).size;
    if (stations > most) [best, most] = [inside, stations];
  }
  return best;
}
