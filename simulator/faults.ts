/** What can go wrong in the simulated plant, and where. */
export interface FaultKind {
  readonly name: string;
  /** Stations or sources that can have it. */
  readonly at: RegExp;
  /** The same in words, for the person who typed another. */
  readonly where: string;
  readonly says: string;
  /** How long it lasts when nobody says: null means to the end. */
  readonly lastsMs: number | null;
}

/** One fault, switched on: fromMs <= t < toMs. */
export interface Fault {
  readonly name: string;
  readonly station: string;
  readonly fromMs: number;
  readonly toMs: number;
}

const minute = 60_000;

export const faultKinds: readonly FaultKind[] = [
  {
    name: "boiler-sag",
    at: /^(BO-1|PR-0[1-4])$/,
    where: "BO-1 (any press may be named: all have it)",
    says: "the steam header falls from 4.5 to 3.2 bar and comes back: low plateau at all presses",
    lastsMs: 17 * minute,
  },
  {
    name: "slow-valve",
    at: /^PR-0[1-4]$/,
    where: "PR-01 to PR-04",
    says: "the autoclave steam valve opens slowly: long rise, low plateau at one press",
    lastsMs: null,
  },
  {
    name: "stuck-pressure",
    at: /^PR-0[1-4]$/,
    where: "PR-01 to PR-04",
    says: "the pressure transmitter repeats one value; the steam is good (a sensor fault)",
    lastsMs: null,
  },
  {
    name: "weak-air",
    at: /^DR-[1-3]$/,
    where: "DR-1 to DR-3",
    says: "fan and make-up air are weak: the load is still wet when it leaves, humidity looks fine",
    lastsMs: null,
  },
  {
    name: "door-open",
    at: /^(DR-[1-3]|AO-1)$/,
    where: "DR-1 to DR-3, AO-1",
    says: "the door stands open: humidity up and temperature down",
    lastsMs: 15 * minute,
  },
  {
    name: "runaway",
    at: /^AO-1$/,
    where: "AO-1",
    says: "the oven's control fails: +2 K a minute up to its mechanical limit",
    lastsMs: 25 * minute,
  },
  {
    name: "motor-out",
    at: /^CT-[AF][12]$/,
    where: "CT-A1, CT-A2, CT-F1, CT-F2",
    says: "one of the two vibration motors has stopped: half the acceleration",
    lastsMs: null,
  },
  {
    name: "loose-clamp",
    at: /^CT-[AF][12]$/,
    where: "CT-A1, CT-A2, CT-F1, CT-F2",
    says: "the flask's clamp is loose: it hammers, crest and high band up, RMS nearly normal",
    lastsMs: null,
  },
  {
    name: "cold-metal",
    at: /^PO-A$/,
    where: "PO-A",
    says: "the metal is 30 K colder than it should be",
    lastsMs: null,
  },
  {
    name: "silent",
    at: /^GW-(PR|AO|DR|CT|PO)$/,
    where: "GW-PR, GW-AO, GW-DR, GW-CT, GW-PO",
    says: "the gateway sends nothing",
    lastsMs: null,
  },
];

/** Asks which faults are on. */
export interface FaultPlan {
  /** The fault of that name at that station that is on at that time. */
  on(name: string, station: string, tMs: number): Fault | undefined;
  /** All of that name at that station, in order of their start. */
  all(name: string, station: string): readonly Fault[];
}

export function faultPlan(faults: readonly Fault[]): FaultPlan {
  const byPlace = new Map<string, Fault[]>();
  for (const fault of [...faults].sort((a, b) => a.fromMs - b.fromMs)) {
    // The boiler feeds every press, whichever was named.
    const place = fault.name === "boiler-sag" ? "BO-1" : fault.station;
    const key = `${fault.name}@${place}`;
    byPlace.set(key, [...(byPlace.get(key) ?? []), fault]);
  }
  const all = (name: string, station: string): readonly Fault[] => byPlace.get(`${name}@${station}`) ?? [];
  return { all, on: (name, station, tMs) => all(name, station).find((f) => f.fromMs <= tMs && tMs < f.toMs) };
}
