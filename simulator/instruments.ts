import type { Emission, Station, Values } from "./emission.ts";
import { instrumentFaults } from "./faults/instruments.ts";
import type { Fault, FaultPlan } from "./faults.ts";
import { randomAt } from "./random.ts";

const names = instrumentFaults.map((kind) => kind.name);
const ambientCel = 22;
const dayMs = 86_400_000;
/** How far back a stuck reading may have to look for the value that it repeats. */
const lookBackMs = 7_200_000;

/** A station whose instruments may be broken: what any reading can suffer, whatever it measures. */
export function withInstrumentFaults(
  station: Station,
  series: readonly string[],
  faults: FaultPlan,
  seed: number,
): Station {
  const bySeries = new Map<string, readonly Fault[]>();
  for (const one of series) {
    const touching = names.flatMap((name) => faults.all(name, one));
    if (touching.length > 0) bySeries.set(one, touching);
  }
  if (bySeries.size === 0) return station;
  const frozen = new Map<Fault, number | null>();
  const stuckAt = (fault: Fault): number | null => {
    const known = frozen.get(fault);
    if (known !== undefined) return known;
    const before = station
      .emissions(fault.fromMs - lookBackMs, fault.fromMs)
      .filter((e): e is Values => e.kind === "values" && e.series === fault.station)
      .sort((a, b) => a.tMs - b.tMs);
    const value = before.at(-1)?.values.at(-1) ?? null;
    frozen.set(fault, value);
    return value;
  };
  const broken = (emission: Emission): Emission[] => {
    const touching = emission.kind === "values" ? bySeries.get(emission.series) : undefined;
    return touching === undefined ? [emission] : brokenValues(emission as Values, touching, stuckAt, seed);
  };
  return { id: station.id, emissions: (fromMs, toMs) => station.emissions(fromMs, toMs).flatMap(broken) };
}

function brokenValues(
  block: Values,
  faults: readonly Fault[],
  stuckAt: (fault: Fault) => number | null,
  seed: number,
): Values[] {
  const pieces: Values[] = [];
  let open: (number | null)[] = [];
  let openMs = block.tMs;
  const close = (): void => {
    if (open.length > 0) pieces.push({ ...block, tMs: openMs, values: open });
    open = [];
  };
  block.values.forEach((value, i) => {
    const tMs = block.tMs + i * block.everyMs;
    const seen = seenThrough(value, tMs, faults, stuckAt, seed);
    if (seen === undefined) {
      close();
      return;
    }
    if (open.length === 0) openMs = tMs;
    open.push(seen === null || seen === value ? seen : Number(seen.toFixed(block.digits)));
  });
  close();
  return pieces;
}

/** What a broken instrument shows for a value: null is a bad reading, undefined none at all. */
function seenThrough(
  value: number | null,
  tMs: number,
  faults: readonly Fault[],
  stuckAt: (fault: Fault) => number | null,
  seed: number,
): number | null | undefined {
  let seen: number | null = value;
  for (const fault of faults) {
    if (tMs < fault.fromMs || tMs >= fault.toMs) continue;
    const size = fault.size ?? 1;
    if (fault.name === "dropout") return undefined;
    if (fault.name === "wire-open") return null;
    if (fault.name === "stuck") seen = stuckAt(fault) ?? seen;
    if (fault.name === "shorted") seen = ambientCel;
    if (seen === null) continue;
    if (fault.name === "offset") seen += size;
    if (fault.name === "drift") seen += (size * (tMs - fault.fromMs)) / dayMs;
    if (fault.name === "spikes") seen += spike(seed, fault.station, tMs) * size;
  }
  return seen;
}

/** One reading in two hundred, up or down. */
function spike(seed: number, series: string, tMs: number): number {
  const drawn = randomAt(seed, series, tMs, "spike").uniform();
  if (drawn >= 0.005) return 0;
  return drawn < 0.0025 ? 1 : -1;
}
