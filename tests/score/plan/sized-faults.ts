import type { Side } from "../../../spc/model/signal.ts";

/** How the score injects one kind of fault. Sizes are in the kind's own: 1 is what its `--help` says. */
export interface SizedFault {
  readonly name: string;
  readonly places: readonly string[];
  /** The size that matters, of our own study; null where the fault is there or not. */
  readonly matters: number | null;
  /** Times the size that matters that it may have. */
  readonly times: readonly number[];
  /** How long, hours. */
  readonly hours: readonly [number, number];
  /** Of stations whose runs take hours: it spans this many whole runs, or begins so far inside one. */
  readonly whole?: number;
  readonly inside?: number;
  /** Grows by so much a day at size 1, and by how much it must have grown to matter: it begins half grown. */
  readonly drift?: { readonly aDay: number; readonly matters: number };
  /** Only a trace shows it, in healthy sigma of the feature at the size that matters; our own study. */
  readonly traceShift?: number;
  /** Further features that rightly show it, beside those of its label. */
  readonly also?: readonly (readonly [feature: string, side: Side])[];
}

const usual = [0.5, 1, 1.25, 1.5, 2, 3] as const;
const once = [1] as const;
const presses = ["PR-01", "PR-02", "PR-03", "PR-04"];
const dryers = ["DR-1", "DR-2", "DR-3"];
const tables = ["CT-A1", "CT-A2", "CT-F1", "CT-F2"];
const rooms = ["AG-1", "AG-2"];
const cells = ["GL-1", "GL-2", "GL-3"];
const silos = ["SI-01", "SI-02", "SI-03", "SI-04", "SI-05", "SI-06", "SI-07", "SI-08"];

/** Kinds that have no size that matters have the one that their kind says. Durations: common practice, no source. */
export const sizedFaults: readonly SizedFault[] = [
  { name: "feeder-worn", places: ["PX-1", "PX-2"], matters: 1, times: usual, hours: [10, 20] },
  { name: "bead-lot", places: ["PX-1", "PX-2"], matters: 1, times: usual, hours: [10, 20] },
  { name: "sticky-scale", places: ["PX-1", "PX-2"], matters: null, times: once, hours: [6, 10] },
  { name: "old-prepuff", places: silos, matters: null, times: once, hours: [48, 48] },
  { name: "boiler-sag", places: ["BO-1"], matters: 0.54, times: usual, hours: [0.4, 0.8] },
  { name: "priming", places: ["BO-1"], matters: 1, times: usual, hours: [0.5, 1] },
  { name: "slow-valve", places: presses, matters: 0.23, times: usual, hours: [1, 4] },
  { name: "air-in-steam", places: presses, matters: 0.4, times: usual, hours: [1, 4] },
  {
    ...{ name: "valve-wear", places: presses, matters: 0.3, times: once, hours: [48, 48] },
    drift: { aDay: 0.1, matters: 0.022 },
  },
  { name: "stuck-pressure", places: presses, matters: null, times: once, hours: [1, 3], traceShift: -50 },
  { name: "plugged-line", places: presses, matters: 0.125, times: usual, hours: [1, 4], traceShift: 5 },
  {
    ...{ name: "zero-drift", places: presses, matters: 4, times: once, hours: [48, 48] },
    drift: { aDay: 0.02 / 7, matters: 0.02 },
  },
  { name: "slow-thermocouple", places: presses, matters: 1, times: usual, hours: [1, 4], traceShift: -5 },
  { name: "chiller-off", places: ["PR-01"], matters: 0.5, times: usual, hours: [1, 3] },
  { name: "vacuum-pump-worn", places: presses, matters: 0.5, times: usual, hours: [2, 6] },
  { name: "fill-gun-clogged", places: presses, matters: 1, times: usual, hours: [1, 4] },
  { name: "air-conditioning-off", places: rooms, matters: 0.5, times: usual, hours: [16, 24] },
  {
    ...{ name: "door-open", places: dryers, matters: null, times: once, hours: [0.1, 0.4], inside: 2 },
  },
  {
    ...{ name: "door-open", places: ["AO-1"], matters: null, times: once, hours: [0.25, 0.7], inside: 2.5 },
    also: [["oven.door", "above"]],
  },
  { name: "runaway", places: ["AO-1"], matters: null, times: once, hours: [0.1, 0.3], inside: 2 },
  {
    ...{ name: "thermocouple-drift", places: ["AO-1"], matters: 2, times: once, hours: [48, 48] },
    drift: { aDay: 0.15, matters: 0.3 },
  },
  {
    ...{ name: "fan-stop", places: ["AO-1"], matters: null, times: once, hours: [1, 2.5], inside: 2 },
    also: [["oven.fan", "below"]],
  },
  {
    name: "glue-heater-failed",
    places: cells,
    matters: null,
    times: once,
    hours: [0.75, 1.5],
    also: [["glue.plate_t", "below"]],
  },
  { name: "nozzle-partial", places: cells, matters: 1, times: usual, hours: [4, 8] },
  {
    name: "wrong-powder",
    places: ["SL-A", "SL-F"],
    matters: 0.5,
    times: usual,
    hours: [20, 30],
    also: [["slurry.saw_free", "above"]],
  },
  {
    name: "foaming",
    places: ["SL-A", "SL-F"],
    matters: 0.67,
    times: usual,
    hours: [16, 24],
    also: [["slurry.saw_free", "below"]],
  },
  {
    ...{ name: "drain-short", places: ["RD-1"], matters: 1, times: usual, hours: [10, 16] },
    also: [
      ["coat.saw_free", "above"],
      ["dip.drain_time", "below"],
      ["dip.wet_per_area", "above"],
    ],
  },
  {
    name: "weak-air",
    places: dryers,
    matters: 1,
    times: [0.5, 1, 1.25],
    hours: [7, 7],
    whole: 1,
    also: [["dry.airflow", "below"]],
  },
  {
    name: "heavy-coat",
    places: dryers,
    matters: 1,
    times: [0.5, 1, 1.5, 2],
    hours: [28, 28],
    whole: 4,
    also: [["dry.t_end", "above"]],
  },
  {
    name: "desiccant-exhausted",
    places: dryers,
    matters: null,
    times: once,
    hours: [7, 7],
    whole: 1,
    also: [["dry.dew", "above"]],
  },
  { name: "set-too-cold", places: dryers, matters: 1, times: [0.5, 1, 1.5, 2], hours: [7, 7], whole: 1 },
  {
    name: "probe-splash",
    places: dryers,
    matters: 0.125,
    times: [0.5, 1, 2, 4, 8],
    hours: [14, 14],
    whole: 2,
  },
  { name: "probe-slow", places: dryers, matters: 0.35, times: [0.5, 1, 2, 2.8], hours: [28, 28], whole: 4 },
  {
    name: "witness-touches",
    places: dryers,
    matters: 1,
    times: [0.5, 1, 1.5],
    hours: [14, 14],
    whole: 2,
  },
  { name: "motor-out", places: tables, matters: null, times: once, hours: [1, 4], also: [["vib.motors", "above"]] },
  { name: "lost-sync", places: tables, matters: null, times: once, hours: [1, 4] },
  { name: "bearing", places: tables, matters: 0.03, times: [0.5, 1, 2, 4, 10], hours: [3, 8] },
  {
    name: "loose-clamp",
    places: tables,
    matters: 0.035,
    times: [0.5, 1, 2, 4, 10],
    hours: [2, 6],
    also: [["vib.clamp", "below"]],
  },
  {
    name: "loose-sensor",
    places: tables,
    matters: 0.035,
    times: [0.5, 1, 2, 4, 10],
    hours: [2, 6],
    also: [
      ["vib.wall", "below"],
      ["vib.alone", "above"],
    ],
  },
  { name: "drive-slow", places: tables, matters: 0.25, times: usual, hours: [3, 8] },
  { name: "cable-intermittent", places: tables, matters: 1, times: once, hours: [2, 6], traceShift: -10 },
  { name: "phase-lost", places: tables, matters: 1, times: usual, hours: [2, 6] },
  { name: "short-fill", places: tables, matters: 1, times: usual, hours: [2, 6] },
  {
    ...{
      name: "furnace-thermocouple-drift",
      places: ["FU-A1", "FU-F1", "FU-F2"],
      matters: 2,
      times: once,
      hours: [48, 48],
    },
    drift: { aDay: 8 / (90 / 24), matters: 4.5 },
  },
  { name: "degas-skipped", places: ["FU-A1"], matters: 0.65, times: usual, hours: [5, 10] },
  { name: "cold-metal", places: ["PO-A"], matters: 0.5, times: usual, hours: [0.75, 3] },
  {
    name: "cold-tap",
    places: ["PO-F"],
    matters: 1,
    times: [0.5, 1, 1.25, 1.5, 2],
    hours: [17.2, 17.2],
    whole: 8,
    also: [
      ["ladle.first", "below"],
      ["ladle.dip", "below"],
    ],
  },
  {
    name: "cold-ladle",
    places: ["PO-F"],
    matters: 0.43,
    times: usual,
    hours: [6.4, 6.4],
    whole: 3,
    also: [["ladle.first", "below"]],
  },
  {
    ...{ name: "pyrometer-soot", places: ["PO-F"], matters: 1, times: once, hours: [48, 48] },
    drift: { aDay: 0.4 * 90, matters: 13 },
  },
  { name: "wet-tip", places: ["PO-F"], matters: 0.52, times: usual, hours: [8.5, 8.5], whole: 4 },
  { name: "reading-repeated", places: ["PO-F", "PO-A"], matters: null, times: once, hours: [12, 18], traceShift: 4 },
  { name: "pour-interrupted", places: ["PO-A", "PO-F"], matters: 0.34, times: usual, hours: [2, 4] },
  { name: "spill", places: ["PO-A", "PO-F"], matters: 0.5, times: usual, hours: [2, 5] },
  { name: "vacuum-leak", places: ["PO-F"], matters: 0.42, times: usual, hours: [4.3, 8] },
  { name: "vacuum-filter-clogged", places: ["PO-F"], matters: 0.5, times: usual, hours: [4.3, 8] },
  { name: "early-shakeout", places: ["CO-A", "CO-F"], matters: 0.84, times: usual, hours: [3, 8] },
  { name: "cooler-water-off", places: ["SC-1"], matters: 0.4, times: usual, hours: [8, 12] },
  { name: "dust-collector-blocked", places: ["SC-1"], matters: 0.75, times: usual, hours: [40, 46] },
];

/** Not scored, with the reason: each is printed. */
export const unscoredFaults: Readonly<Record<string, string>> = {
  "axis-reversed": "none of the features moves: not scored",
  "sensor-clips": "a healthy table stays far below 16 g: nothing is cut off",
  "no-plateau": "gives points that cannot be evaluated, and no flag by design",
  "dip-missing": "gives points that cannot be evaluated, and no flag by design",
  drift: "named by hand, of any one series: the plant's own drifts are scored",
  "clock-skew": "of the way, not of the plant: what a clock that is off does is tested by itself",
  "summer-rise": "no fault: a confounder",
  "inspector-change": "no fault: a confounder",
};

/** Of single series and gateways: only readings show them. */
export const instrumentPlaces: Readonly<
  Record<
    string,
    { readonly places: readonly string[]; readonly hours: readonly [number, number]; readonly size?: number }
  >
> = {
  stuck: { places: ["AO-1/t2", "PR-02/pressure", "DR-1/return-rh", "DR-2/return-t"], hours: [1, 3] },
  "wire-open": { places: ["AO-1/t1", "PR-01/pressure", "PR-03/chamber-t", "DR-3/return-rh"], hours: [1, 3] },
  shorted: { places: ["AO-1/t3"], hours: [2, 3] },
  spikes: { places: ["PR-04/pressure"], hours: [2, 4], size: 0.4 },
  dropout: { places: ["AO-1/t2", "DR-1/supply-rh", "PR-02/chamber-t"], hours: [1, 3] },
  offset: { places: ["AO-1/t1", "PR-01/pressure"], hours: [6, 12], size: 1 },
  silent: { places: ["GW-AO", "GW-DR", "GW-FU", "GW-SK"], hours: [0.5, 1] },
  outage: { places: ["GW-CT", "GW-PO"], hours: [0.6, 0.7] },
};
