import { scaleLinear } from "d3-scale";
import { line } from "d3-shape";
import type { WireCharacteristic, WirePoint, WireRunSheet } from "../../api/contract/wire.ts";
import { thin } from "../trace/thin.ts";
import { figure, sentenceCase } from "./numbers.ts";
import { ruler } from "./ruler.ts";
import { standingFeatures } from "./run-rules.ts";
import { spanWord } from "./times.ts";
import { inOrder, traceName } from "./trace-name.ts";
import { unitAfter, unitWord } from "./units.ts";

type Trace = WireRunSheet["traces"][number];

export interface TracePanel {
  readonly series: string;
  readonly name: string;
  readonly unit: string;
  readonly height: number;
  readonly path: string;
  /** The runs before, one path each. */
  readonly before: readonly string[];
  /** Of both, the readings that have no neighbour to draw a line to, as places to be drawn as dots. */
  readonly lone: string;
  readonly loneBefore: string;
  readonly ticks: readonly { readonly y: number; readonly text: string }[];
  readonly stepped: boolean;
  readonly thinned: boolean;
  /** Said beside the name where there is nothing to draw. */
  readonly note: string | null;
}

export interface RunPanels {
  readonly width: number;
  /** Time axis common to all panels. */
  readonly ticks: readonly { readonly x: number; readonly text: string }[];
  readonly segments: readonly { readonly name: string; readonly from: number; readonly to: number }[];
  readonly panels: readonly TracePanel[];
  /** How many earlier runs stand in grey, at most. */
  readonly before: number;
}

export function runPanels(sheet: WireRunSheet, width: number, panelHeight: number): RunPanels {
  const start = Date.parse(sheet.run.start);
  const length = Math.max(1, Date.parse(sheet.run.end) - start);
  // The runs before may have lasted longer; what they did after this one's end is of no use here beyond a little.
  const x = scaleLinear()
    .domain([0, length * 1.02])
    .range([0, width]);
  const edges = new Set([
    0,
    length,
    ...sheet.run.segments.flatMap((one) => [Date.parse(one.from) - start, Date.parse(one.to) - start]),
  ]);
  // Where many runs are under way at once, an event is mostly of another one.
  const oneOfMany = sheet.run.id.includes("~");
  const traces = sheet.traces.filter((trace) => trace.kind !== "event" || (!oneOfMany && tells(trace, edges)));
  return {
    width,
    ticks: timeTicks(length, width).map((ms) => ({ x: x(ms), text: spanWord(ms) })),
    segments: sheet.run.segments.map((one) => ({
      name: one.name.replaceAll("-", " "),
      from: x(Date.parse(one.from) - start),
      to: x(Date.parse(one.to) - start),
    })),
    panels: inOrder(traces).map((trace) => {
      if (trace.value.every((value) => value === null)) return emptyPanel(trace, sheet.run.runWord);
      return panel(trace, x, length, trace.kind === "event" ? 52 : panelHeight);
    }),
    before: Math.max(0, ...traces.map((trace) => trace.before.length)),
  };
}

/** An event trace is worth a panel only when it changes at other moments than those the segments show. */
function tells(trace: Trace, edges: ReadonlySet<number>): boolean {
  return trace.tMs.some((t) => ![...edges].some((edge) => Math.abs(edge - t) < 1_000));
}

/** Without a reading there is no scale: one made up would be read as a value. */
function emptyPanel(trace: Trace, runWord: string): TracePanel {
  return {
    ...{ series: trace.series, name: traceName(trace.role, trace.quantity), unit: "", height: 28 },
    ...{ path: "", before: [], lone: "", loneBefore: "", ticks: [], stepped: false, thinned: false },
    note: `no reading in this ${runWord}`,
  };
}

function panel(trace: Trace, x: (ms: number) => number, length: number, height: number): TracePanel {
  const values = [
    ...trace.value,
    ...trace.before.flatMap((one) => one.value.filter((_, at) => one.tMs[at]! <= length)),
  ];
  const stepped = trace.kind === "event";
  const whole = stepped || trace.quantity === "count";
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    if (value === null) continue;
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  if (low > high) [low, high] = [0, 1];
  const tickCount = height < 130 ? 3 : 5;
  if (low === high) [low, high] = [low - 0.5, high + 0.5];
  const room = (high - low) * 0.05;
  const y = scaleLinear()
    .domain([low - room, high + room])
    .range([height - 8, 24]);
  const path = stepped ? steps(trace, x, y, length) : pathOf(trace.tMs, trace.value, x, y, length);
  const before = stepped ? [] : trace.before.map((one) => pathOf(one.tMs, one.value, x, y, length));
  return {
    series: trace.series,
    name: traceName(trace.role, trace.quantity),
    unit: stepped ? "" : unitWord(trace.unit, trace.reference, trace.quantity),
    height,
    ...{ path, before, lone: loneOf(path), loneBefore: loneOf(before.join("")) },
    ticks: y
      .ticks(stepped ? 1 : tickCount)
      .filter((value) => !whole || Number.isInteger(value))
      .map((value) => ({ y: y(value), text: y.tickFormat(tickCount, whole ? ",d" : ",f")(value) })),
    stepped,
    thinned: trace.thinned,
    note: null,
  };
}

function pathOf(
  tMs: readonly number[],
  value: readonly (number | null)[],
  x: (ms: number) => number,
  y: (value: number) => number,
  length: number,
): string {
  const few = thin(tMs, value, 1_000);
  const indices = few.tMs.flatMap((t, at) => (t <= length * 1.02 ? [at] : []));
  return (
    line<number>(
      (at) => x(few.tMs[at]!),
      (at) => y(few.value[at]!),
    )
      .defined((at) => few.value[at] !== null)
      .digits(1)(indices) ?? ""
  );
}

/** A line of one point is written as a place that is closed at once: a viscosity is read once an hour. */
function loneOf(path: string): string {
  return path.match(/M[^MLZ]+Z/g)?.join("") ?? "";
}

function steps(trace: Trace, x: (ms: number) => number, y: (value: number) => number, length: number): string {
  let path = "";
  trace.tMs.forEach((t, at) => {
    const value = trace.value[at]!;
    if (value === null) return;
    path += `${path === "" ? "M" : "H"}${x(Math.max(0, t)).toFixed(1)}${path === "" ? "," : "V"}${y(value).toFixed(1)}`;
  });
  return path === "" ? "" : `${path}H${x(length).toFixed(1)}`;
}

const nice = [1, 2, 5, 10, 15, 20, 30, 60, 120, 300, 600, 900, 1_800, 3_600, 7_200, 14_400, 28_800].map(
  (s) => s * 1_000,
);

/** Two times need this much room beside each other. */
const tickRoom = 56;

function timeTicks(length: number, width: number): readonly number[] {
  const most = Math.max(1, Math.min(8, Math.floor(width / tickRoom)));
  const step = nice.find((one) => length / one <= most) ?? nice.at(-1)!;
  return Array.from({ length: Math.floor(length / step) + 1 }, (_, at) => at * step);
}

/** One second of the raw waveform, each axis on its own time. */
export interface SnapshotPanel {
  readonly series: string;
  readonly name: string;
  readonly at: number;
  readonly panel: TracePanel;
  readonly panels: RunPanels;
}

export function snapshotPanels(sheet: WireRunSheet, width: number): readonly SnapshotPanel[] {
  return sheet.snapshots.map((snapshot) => {
    const everyMs = 1_000 / snapshot.rateHz;
    const length = snapshot.value.length * everyMs;
    const x = scaleLinear().domain([0, length]).range([0, width]);
    const unit = unitWord(snapshot.unit);
    const trace = {
      ...{ series: snapshot.series, role: snapshot.series, quantity: "", reference: null, unit: snapshot.unit },
      ...{ kind: "waveform" as const, everyMs, thinned: false, before: [] },
      tMs: snapshot.value.map((_, index) => index * everyMs),
      value: snapshot.value,
    };
    const role = snapshot.series.slice(snapshot.series.indexOf("/") + 1);
    const ticks = [0, 0.25, 0.5, 0.75, 1].map((part) => ({ x: part * width, text: `${Math.round(part * length)} ms` }));
    const drawn = { ...panel(trace, x, length, 120), name: "", unit };
    return {
      series: snapshot.series,
      name: `Raw ${traceName(role, "").toLowerCase()}, ${snapshot.rateHz} readings a second`,
      at: Date.parse(snapshot.at),
      panel: drawn,
      panels: { width, ticks, segments: [], panels: [drawn], before: 0 },
    };
  });
}

/** A feature of the run beside the ruler of its own limits. */
export interface GivenFeature {
  readonly key: string;
  readonly name: string;
  readonly detail: string;
  readonly value: string | null;
  readonly unit: string;
  /** Of the algorithm; empty where a person measured. */
  readonly version: string;
  /** What the run gave first, where that was something else; empty for none. */
  readonly before: string;
  /** Why there is no number. */
  readonly reason: string | null;
  /** Place on the small ruler from 0 to 1, limits at 0.2 and 0.8; null without limits or value. */
  readonly place: number | null;
  readonly flagged: boolean;
  readonly flag: string | null;
  readonly characteristic: string | null;
}

export function givenFeatures(sheet: WireRunSheet): readonly GivenFeature[] {
  const { features, first } = standingFeatures(sheet);
  return features.map((feature) => {
    const characteristic = sheet.characteristics.find((one) => one.feature === feature.feature) ?? null;
    const point = sheet.points.find((one) => one.characteristic === characteristic?.id) ?? null;
    const digits = characteristic?.digits ?? 3;
    return {
      key: feature.feature,
      name: sentenceCase(characteristic?.name ?? feature.feature),
      detail: [deviationWords(characteristic, point, sheet.run.id), limitsDetail(characteristic, point)]
        .filter(Boolean)
        .join("; "),
      version: feature.version === 0 ? "" : `version ${feature.version}`,
      before: beforeWords(first.get(feature.feature), digits),
      value: feature.value === null ? null : figure(feature.value, digits),
      unit: unitWord(feature.unit, characteristic?.reference ?? null, characteristic?.quantity ?? null),
      reason: feature.value === null ? (feature.refusal?.detail ?? "no reason given") : null,
      place: placeOf(point, judgedOf(characteristic, point, feature.value, sheet.run.id)),
      flagged: (point?.signals.length ?? 0) > 0,
      flag: point?.flag ?? null,
      characteristic: characteristic?.id ?? null,
    };
  });
}

function beforeWords(first: WireRunSheet["run"]["features"][number] | undefined, digits: number): string {
  if (first === undefined) return "";
  const value = first.value === null ? "no value" : figure(first.value, digits);
  return `revision 1 gave ${value}, version ${first.version}`;
}

/** Of a chart of deviations: how far this run lies from its part's target. */
function deviationWords(characteristic: WireCharacteristic | null, point: WirePoint | null, run: string): string {
  if (characteristic?.plotted === undefined || point === null) return "";
  const value = plottedIn(point, run);
  if (value === null) return point.refusal?.detail ?? "";
  const word = unitWord(characteristic.unit, characteristic.reference, characteristic.quantity);
  const signed = `${value > 0 ? "+" : ""}${figure(value, characteristic.digits)}`;
  return characteristic.plotted === "z"
    ? `${signed} sigma off its part's target`
    : `${signed}${unitAfter(word)} off its part's target`;
}

/** Limits of a mean judge that mean, not the one run: how it is called, or null where runs are judged one by one. */
function togetherWord(characteristic: WireCharacteristic | null, point: WirePoint | null): string | null {
  if (characteristic?.limits?.scheme?.ewma !== undefined) return "weighted mean";
  const runs = point?.members?.length ?? 1;
  return runs > 1 ? `average of ${runs}` : null;
}

function judgedOf(
  characteristic: WireCharacteristic | null,
  point: WirePoint | null,
  own: number | null,
  run: string,
): number | null {
  if (own === null) return null;
  if (togetherWord(characteristic, point) !== null) return point?.location.value ?? null;
  return characteristic?.plotted === undefined ? own : plottedIn(point, run);
}

/** What the chart plots of this run: where a point is one run its value, else that of the run among its members. */
function plottedIn(point: WirePoint | null, run: string): number | null {
  if (point === null) return null;
  const member = point.members?.find((one) => one.run === run);
  return member === undefined ? point.location.value : member.value;
}

function placeOf(point: WirePoint | null, value: number | null): number | null {
  const { lower, upper } = point?.location ?? { lower: null, upper: null };
  if (value === null || lower === null || upper === null) return null;
  return 1 - ruler({ lower, upper }, 1).y(value);
}

function limitsDetail(characteristic: WireCharacteristic | null, point: WirePoint | null): string {
  if (characteristic === null) return "not on a chart";
  if (point === null) return "no point of its chart yet";
  const { lower, upper } = point.location;
  if (lower === null || upper === null) return "no limits in force";
  const { digits } = characteristic;
  const limits = `limits ${figure(lower, digits)} to ${figure(upper, digits)}`;
  const together = togetherWord(characteristic, point);
  const { value } = point.location;
  return together === null || value === null ? limits : `${together} ${figure(value, digits)}, ${limits}`;
}
