import type { WireCharacteristic, WireFlag, WireLimitSet, WirePoint } from "../../../api/contract/wire.ts";
import type { Floor } from "../../../dashboard/model/floor.ts";

/** 25 Nov 2026, 12:00 UTC: 13:00 in the invented plant's zone. */
export const noonMs = Date.UTC(2026, 10, 25, 12);
export const iso = (ms: number): string => new Date(ms).toISOString();
const none = { refusal: { code: "no-specification", detail: "no specification is set" } };

export function limitSet(over: Partial<WireLimitSet> = {}): WireLimitSet {
  return {
    id: "PR-01:mold.plateau@1",
    revision: 1,
    basis: "chart",
    charts: ["individuals", "moving-range"],
    location: { centre: 0.9, lower: 0.87, upper: 0.93, sigma: 0.01 },
    spread: { centre: 0.011, lower: 0, upper: 0.037, sigma: 0.009 },
    estimator: "moving-range",
    k: 3,
    rules: ["beyond-limit", "nine-on-one-side"],
    baseline: { from: iso(noonMs - 40 * 864e5), to: iso(noonMs - 2 * 864e5), n: 120, imported: 120, excluded: {} },
    diagnostics: {
      sigmaWithin: 0.01,
      sigmaOverall: 0.0104,
      lag1: 0.08,
      lag1Band: [-0.18, 0.17],
      distinctValues: 60,
      cautions: [],
    },
    effectiveFrom: iso(noonMs - 864e5),
    frozenAt: iso(noonMs - 864e5),
    proposedBy: "the line engineer",
    agreedBy: "the quality lead",
    reason: "",
    engine: "0.1.0",
    ...over,
  };
}

export function characteristic(over: Partial<WireCharacteristic> = {}): WireCharacteristic {
  return {
    id: "PR-01:mold.plateau",
    station: "PR-01",
    stage: "Moulding",
    line: "white",
    feature: "mold.plateau",
    part: null,
    name: "plateau",
    quantity: "steam-pressure",
    reference: "gauge",
    unit: "bar",
    digits: 3,
    runWord: "shot",
    main: true,
    chart: "individuals",
    subgroup: 1,
    waiting: [],
    rules: ["beyond-limit", "nine-on-one-side"],
    specification: { lower: 0.82, upper: 0.98, unit: "bar", origin: "demo control plan" },
    limits: limitSet(),
    chance: { location: 217, pair: 88, method: "exact" },
    limitsMissing: null,
    latest: null,
    capability: { n: 0, from: null, to: null, cp: none, cpk: none, pp: none, ppk: none, cautions: [] },
    points: { streamed: 0, imported: 0 },
    flag: null,
    ...over,
  };
}

export function runAt(index: number, station = "PR-01"): string {
  return `${station}:${iso(noonMs + index * 60_000).replaceAll(/[-:.]/g, "")}`;
}

/** The point of the run that began `index` minutes after noon. */
export function point(index: number, value: number | null, over: Partial<WirePoint> = {}): WirePoint {
  const verdict = value === null ? "not-evaluable" : value > 0.93 ? "above" : value < 0.87 ? "below" : "within";
  return {
    characteristic: "PR-01:mold.plateau",
    run: runAt(index),
    subgroup: index,
    at: iso(noonMs + index * 60_000 + 45_000),
    imported: false,
    limitSet: "PR-01:mold.plateau@1",
    location: { value, centre: 0.9, lower: 0.87, upper: 0.93, verdict },
    spread: {
      value: value === null || index === 0 ? null : 0.01,
      centre: 0.011,
      lower: 0,
      upper: 0.037,
      verdict: "within",
    },
    signals: [],
    flag: null,
    ...over,
  };
}

export function signalled(one: WirePoint, flagId: string, rule: string, side: "above" | "below"): WirePoint {
  return { ...one, flag: flagId, signals: [`${one.limitSet}/${one.run}/location/${rule}/${side}`] };
}

export function flag(over: Partial<WireFlag> = {}): WireFlag {
  return {
    id: "PR-01:mold.plateau:20261125T120000000Z",
    number: 7,
    run: runAt(0),
    runs: [runAt(0)],
    station: "PR-01",
    characteristic: "PR-01:mold.plateau",
    part: null,
    name: "plateau",
    says: "steam plateau low",
    label: "look",
    doFirst: "Sensor right?",
    state: "waiting",
    signals: 1,
    rules: ["beyond-limit"],
    unit: "bar",
    digits: 3,
    first: { at: iso(noonMs), value: 0.85, line: 0.87, side: "below", on: "location" },
    last: { at: iso(noonMs), value: 0.85, run: runAt(0), on: "location" },
    worst: { at: iso(noonMs), value: 0.85, line: 0.87, run: runAt(0), z: -5, on: "location" },
    late: false,
    foundAt: iso(noonMs),
    cameBack: null,
    unseen: null,
    taken: null,
    done: null,
    ...over,
  };
}

export function floor(over: Partial<Floor> = {}): Floor {
  const one = characteristic();
  return {
    now: iso(noonMs),
    site: { name: "Ostrimvale Foamcast Works", zone: "CET" },
    shift: { name: "early", since: iso(noonMs - 7 * 36e5) },
    free: null,
    stages: ["Moulding", "Pour"],
    lines: [{ id: "white", name: "White side" }],
    stations: [
      { id: "PR-01", stage: "Moulding", line: "white", source: "GW-PR", runWord: "shot", characteristics: [one.id] },
    ],
    freshness: [
      {
        ...{ station: "PR-01", source: "GW-PR", newest: iso(noonMs), state: "live", overdue: null, runOpenSince: null },
        ...{ missing: null, refused: null, late: null, clockWrong: null },
      },
    ],
    door: [],
    characteristics: [{ characteristic: one, points: [point(0, 0.9), point(1, 0.91)] }],
    flags: [],
    causes: ["valve", "no cause found"],
    sinceShift: { flags: 0, done: 0, chance: 1.4, untold: 0 },
    lastWaitingEnded: null,
    journalSeq: 10,
    ...over,
  };
}
