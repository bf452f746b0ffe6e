/** What feeds several stations: a header, a power supply, a gateway. */
export interface Feeder {
  readonly id: string;
  readonly stations: readonly string[];
  /** The station that measures the feeder itself: its flags join, and are none of the three. Null where nobody does. */
  readonly own: string | null;
}

/** A flag at a station that got its first signal, or a further one, by source time. */
export interface Opening {
  readonly flag: string;
  readonly station: string;
  readonly atMs: number;
  /** Of the feeder's own station, what the signal is of began here: an hour before, where a run is an hour. */
  readonly sinceMs?: number;
}

/** One that may still become part of a group: its first signal and its newest. */
interface Loose extends Opening {
  readonly newestMs: number;
}

/** Plain JSON. */
export interface CommonState {
  /** Openings that may still become part of a group, in the order in which they were found. */
  readonly loose: readonly Loose[];
  /** The newest group: flags that open within five minutes of its last one, or of its last signal, join it. */
  readonly group: { readonly flag: string; readonly firstMs: number; readonly lastMs: number } | null;
}

export const noCommon: CommonState = { loose: [], group: null };

/** So many stations that share one supply, within so long, point at what they share. */
const leastStations = 3;
export const commonWithinMs = 300_000;
/**
 * Openings are found in an order of their own, so a loose one waits for others that are found late; and what weakens the
 * feeder a little is seen at one station after the other, while the first ones still signal.
 */
const keptMs = 6 * commonWithinMs;

/**
 * Common cause: flags at three or more stations behind one feeder within five minutes are one thing to look at first.
 *
 * @shape   signals in the order in which they were found, whatever their source times
 * @unit    ms, source time
 * @method  three stations with a signal each within 5 min, of flags not older than half an hour, make a group, named after
 *          its feeder and its first opening; further ones within 5 min of any of its own join. The feeder's own station
 *          never counts as one of three, and joins where what it signals about reaches into the group. Of stations that
 *          flag by chance r times an hour each, one signal a flag, the three of any trio come together 3 r^3 w^2 times an
 *          hour, w = 1/12 h, times the trios there are: with four stations at one chance flag in 10 h, once in 12,000 h
 * @cost    O(signals of half an hour)
 * @source  rate of coincidences of three Poisson processes, derived here; 3 stations and 5 min: common practice, no source
 * @checked tests/unit/spc/health/common-cause.test.ts, tests/property/spc/health/common-cause.test.ts
 */
export function commonCause(
  state: CommonState,
  opening: Opening,
  feeder: Feeder,
): { readonly state: CommonState; readonly flag: string | null; readonly joined: readonly Opening[] } {
  const own = opening.station === feeder.own;
  if (!own && !feeder.stations.includes(opening.station)) return { state, flag: null, joined: [] };
  const { group } = state;
  const { flag: id, atMs } = opening;
  const known = state.loose.find((one) => one.flag === id);
  const one: Loose = known === undefined ? { ...opening, newestMs: atMs } : { ...known, newestMs: atMs };
  const others = state.loose.filter((other) => other !== known);
  if (group !== null && reaches(one, group.firstMs, group.lastMs)) {
    // What the feeder's own station says is of an hour: it tells nothing of how long the others have it.
    const [firstMs, lastMs] = own
      ? [group.firstMs, group.lastMs]
      : [Math.min(group.firstMs, atMs), Math.max(group.lastMs, atMs)];
    return { state: { loose: others, group: { ...group, firstMs, lastMs } }, flag: group.flag, joined: [one] };
  }
  const newestMs = Math.max(atMs, ...others.map((other) => other.newestMs));
  const loose = [...others, one].filter((other) => newestMs - other.atMs <= keptMs);
  const together = own
    ? []
    : windowAround(
        loose.filter((other) => other.station !== feeder.own),
        atMs,
      );
  if (new Set(together.map((other) => other.station)).size < leastStations) {
    return { state: { ...state, loose }, flag: null, joined: [] };
  }
  const firstMs = Math.min(...together.map((other) => other.atMs));
  const lastMs = Math.max(...together.map((other) => other.newestMs));
  const flag = `${feeder.id}:common:${new Date(firstMs).toISOString().replaceAll(/[-:.]/g, "")}`;
  const drawn = loose.filter((other) => other.station === feeder.own && reaches(other, firstMs, lastMs));
  const joined = [...together, ...drawn];
  const rest = loose.filter((other) => !joined.includes(other));
  return { state: { loose: rest, group: { flag, firstMs, lastMs } }, flag, joined };
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

function reaches({ sinceMs, atMs, newestMs }: Loose, firstMs: number, lastMs: number): boolean {
  if (sinceMs === undefined) return near(atMs, firstMs, lastMs) || near(newestMs, firstMs, lastMs);
  return sinceMs <= lastMs + commonWithinMs && newestMs >= firstMs - commonWithinMs;
}

/** Of all stretches of five minutes that hold that time, the one with most stations; of equal ones the earliest. */
function windowAround(loose: readonly Loose[], atMs: number): readonly Loose[] {
  let best: readonly Loose[] = [];
  let most = 0;
  const times = loose.flatMap((one) => [one.atMs, one.newestMs]).sort((a, b) => a - b);
  for (const fromMs of times) {
    if (fromMs > atMs || atMs - fromMs > commonWithinMs) continue;
    const holds = (tMs: number): boolean => tMs >= fromMs && tMs - fromMs <= commonWithinMs;
    const inside = loose.filter((one) => holds(one.atMs) || holds(one.newestMs));
    const stations = new Set(inside.map(({ station }) => station)).size;
    if (stations > most) [best, most] = [inside, stations];
  }
  return best;
}
