import type { WireCharacteristic, WireFlag, WirePoint } from "../../api/contract/wire.ts";
import { rules } from "../../spc/rules/rule.ts";
import { chanceWords, locationWord, spreadWord } from "./chart-words.ts";
import { ruleWords } from "./flag-words.ts";
import { figure, sentenceCase } from "./numbers.ts";
import { runName } from "./run-name.ts";
import { signalParts } from "./signal-id.ts";
import type { SiteTimes } from "./times.ts";
import { unitAfter, unitWord } from "./units.ts";

/**
 * How often chance alone gives a first such signal, in points, with exact limits and independent normal values:
 * one point beyond 3 sigma, 1 / 0.0027; nine in a row on either side, 2^9 - 1 (waiting time of a run of equal tosses);
 * one moving range beyond its limit, 1 / P(|Z| > 3.686 / sqrt 2). Derived here.
 */
export const chancePoints = { beyondLocation: 370, nineOnOneSide: 511, beyondSpread: 109 } as const;

export interface Evidence {
  /** Whole sentences, in the order to be read. */
  readonly sentences: readonly string[];
  /** Runs whose points made the flag: those that carry a signal and those that a pattern counted. */
  readonly used: ReadonlySet<string>;
}

interface Context {
  readonly characteristic: WireCharacteristic;
  readonly points: readonly WirePoint[];
  readonly times: SiteTimes;
  readonly now: number;
}

/** Why a flag was raised, in sentences a tired person understands. */
export function evidence(flag: WireFlag, context: Context): Evidence {
  const { characteristic, points } = context;
  const joined = points.filter((point) => point.flag === flag.id && point.signals.length > 0);
  const used = new Set<string>(joined.map((point) => point.run));
  const sentences: string[] = [];
  const first = joined[0];
  if (first !== undefined) sentences.push(...sentencesOf(first, context, used));
  else sentences.push("The points that made this flag lie before the ones shown here.");
  const last = joined.at(-1);
  if (last !== undefined && last !== first) sentences.push(lastSentence(flag, last, joined.length, context));
  sentences.push(...chanceSentences(joined, characteristic));
  if (characteristic.limits !== null && first?.limitSet != null && first.limitSet !== characteristic.limits.id) {
    sentences.push("Other limits have come into force since.");
  }
  for (const point of joined) addPattern(point, points, used);
  return { sentences, used };
}

function sentencesOf(point: WirePoint, context: Context, used: Set<string>): readonly string[] {
  const { characteristic, points, times, now } = context;
  const unit = unitAfter(unitWord(characteristic.unit, characteristic.reference, characteristic.quantity));
  const n = (value: number | null): string =>
    value === null ? "no value" : `${figure(value, characteristic.digits)}${unit}`;
  const name = runName(point.run, characteristic.runWord, times, now);
  const subject = sentenceCase(name);
  return point.signals.flatMap((id): readonly string[] => {
    const parts = signalParts(id);
    if (parts === null) return [];
    const high = parts.side === "above";
    if (parts.on === "specification") {
      const line = high ? characteristic.specification?.upper : characteristic.specification?.lower;
      const against = line === undefined ? "its specification" : `the specification ${n(line)}`;
      const run =
        parts.run === point.run || parts.run === null ? name : runName(parts.run, characteristic.runWord, times, now);
      const value = valueOfRun(point, parts.run);
      return [`${sentenceCase(run)} stood at ${n(value)}, ${high ? "above" : "below"} ${against}.`];
    }
    if (parts.rule === "nine-on-one-side") {
      const row = patternRow(point, points, parts.side);
      for (const run of row) used.add(run);
      const centre = parts.on === "spread" ? point.spread.centre : point.location.centre;
      return [`${row.length} in a row up to ${name} lay ${parts.side} the centre line ${n(centre)}.`];
    }
    if (parts.rule !== "beyond-limit") {
      for (const run of patternPoints(point, points, parts.rule)) used.add(run);
      return [`${ruleWords([parts.rule])}, up to ${name}.`];
    }
    const where = parts.on === "spread" ? point.spread : point.location;
    const what = measured(parts.on, subject, name, characteristic);
    const line = `the ${high ? "high" : "low"} limit ${n(high ? where.upper : where.lower)}`;
    return [`${what} ${n(where.value)}, ${high ? "above" : "below"} ${line}${sinceLimits(point, context)}.`];
  });
}

/** What a run itself gave, whatever is plotted of it. */
function valueOfRun(point: WirePoint, run: string | null): number | null {
  const member = point.members?.find((one) => one.run === run);
  return member === undefined ? point.location.value : member.value;
}

/** Whose number it is: the run's own, its step from the one before, or what was reckoned up to it. */
function measured(on: string, subject: string, name: string, characteristic: WireCharacteristic): string {
  if (on === "spread") {
    const own = spreadWord(characteristic) === "moving range";
    return own
      ? `${subject} differed from the one before by`
      : `Up to ${name} the standard deviation within the subgroup was`;
  }
  if (characteristic.chart === "individuals") return `${subject} stood at`;
  return `Up to ${name} ${locationWord(characteristic)} stood at`;
}

function sinceLimits(point: WirePoint, { characteristic, times }: Context): string {
  const limits = characteristic.limits;
  if (limits === null || limits.id !== point.limitSet) return "";
  return `, in force since ${times.fullDay(Date.parse(limits.effectiveFrom))}`;
}

function lastSentence(flag: WireFlag, last: WirePoint, shown: number, context: Context): string {
  const { characteristic, times, now } = context;
  const unit = unitAfter(unitWord(characteristic.unit, characteristic.reference, characteristic.quantity));
  const value =
    last.location.value === null ? "no value" : `${figure(last.location.value, characteristic.digits)}${unit}`;
  const more = shown - 1;
  const what = characteristic.chart === "individuals" ? "run" : "point";
  const joined = more === 1 ? `One more ${what} has` : `${more} more ${what}s have`;
  return `${joined} signalled since, ${flag.signals} signals in all; the latest, ${runName(last.run, characteristic.runWord, times, now)}, gave ${value}.`;
}

function chanceSentences(points: readonly WirePoint[], characteristic: WireCharacteristic): readonly string[] {
  const kinds = new Set(points.flatMap((point) => point.signals.map(kindOf)));
  const ranges = spreadWord(characteristic) === "moving range";
  const said: string[] = [];
  if (kinds.has("beyond") && characteristic.chart !== "ewma")
    said.push(`Chance gives a point beyond a limit about once in ${chancePoints.beyondLocation} points.`);
  if (kinds.has("spread") && ranges)
    said.push(`Chance gives such a jump about once in ${chancePoints.beyondSpread} points.`);
  if (kinds.has("nine"))
    said.push(`Chance gives nine in a row on one side about once in ${chancePoints.nineOnOneSide} points.`);
  const { limits } = characteristic;
  const both = limits === null ? null : chanceWords(limits, characteristic);
  if (both !== null && [...kinds].some((kind) => kind !== "spec")) said.push(both);
  if (kinds.has("spec"))
    said.push("A specification is what was asked for, not what chance does: no rate is stated for it.");
  return said;
}

function kindOf(id: string): "beyond" | "nine" | "pattern" | "spread" | "spec" | "unknown" {
  const parts = signalParts(id);
  if (parts === null) return "unknown";
  if (parts.on === "specification") return "spec";
  if (parts.rule === "nine-on-one-side") return "nine";
  if (parts.rule !== "beyond-limit") return "pattern";
  return parts.on === "spread" ? "spread" : "beyond";
}

function addPattern(point: WirePoint, points: readonly WirePoint[], used: Set<string>): void {
  for (const id of point.signals) {
    const parts = signalParts(id);
    if (parts === null || parts.rule === "beyond-limit" || parts.on === "specification") continue;
    const nine = parts.rule === "nine-on-one-side";
    const runs = nine ? patternRow(point, points, parts.side) : patternPoints(point, points, parts.rule);
    for (const run of runs) used.add(run);
  }
}

/** The newest points with a value up to one, as many as a rule looks at, oldest first. */
export function patternPoints(point: WirePoint, points: readonly WirePoint[], rule: string): readonly string[] {
  const row = rules.find(({ id }) => id === rule);
  const most = row === undefined || row.kind === "limit" ? 1 : row.kind === "window" ? row.of : row.points;
  const end = points.findIndex((one) => one.run === point.run);
  const there = points.slice(0, end + 1).filter((one) => !one.imported && one.location.value !== null);
  return there.slice(-most).map(({ run }) => run);
}

/**
 * Runs in a row on one side of the centre up to a point, oldest first. A point without a value is passed over; a
 * streamed row never reaches into imported points, for those never signal.
 */
export function patternRow(point: WirePoint, points: readonly WirePoint[], side: "above" | "below"): readonly string[] {
  const end = points.findIndex((one) => one.run === point.run);
  const row: string[] = [];
  for (let at = end; at >= 0; at--) {
    const { value, centre } = points[at]!.location;
    if (points[at]!.imported) break;
    if (value === null) continue;
    if (centre === null || (side === "above" ? value <= centre : value >= centre)) break;
    row.unshift(points[at]!.run);
  }
  return row;
}
