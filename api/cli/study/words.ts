import { isMarked } from "../../../dashboard/marks/drawn-chart/bins.ts";
import { type DrawnChart, verdictAt } from "../../../spc/model/drawn-chart.ts";
import type { StudiedChart, StudyIndex, StudyResult } from "../../../spc/study/result.ts";
import { estimatorWords, formWords, kindWords } from "./form-words.ts";
import { only } from "./json-output.ts";

/** A heading and the sentences under it. */
export interface Paragraph {
  readonly head: string;
  readonly lines: readonly string[];
}

/** Points that are told one by one; of more than these the rest is only counted. */
const toldAtMost = 12;

/** All that a result says, in plain sentences. */
export function resultWords(result: StudyResult): readonly Paragraph[] {
  return [
    { head: "Study", lines: studyLines(result) },
    ...result.charts.map((studied) => ({ head: kindWords(studied.chart.kind), lines: chartLines(studied) })),
    { head: "Diagnostics", lines: diagnosticLines(result) },
    ...(result.capability === null ? [] : [{ head: "Capability", lines: capabilityLines(result.capability) }]),
    ...(result.cautions.length === 0
      ? []
      : [{ head: "Cautions", lines: result.cautions.map(({ code, text }) => `${code}: ${text}.`) }]),
  ];
}

function studyLines({ n, form, advice, charts }: StudyResult): readonly string[] {
  const points = charts[0]?.chart.values.length ?? 0;
  const first = `${n} rows, ${counted(points, "plotted point")} (counted from 0). Chart: ${formWords(form)}.`;
  return advice === null ? [first] : [first, `No chart was asked for; this one was chosen: ${advice}.`];
}

function chartLines(studied: StudiedChart): readonly string[] {
  const { chart } = studied;
  const { refusal } = chart;
  if (refusal !== null)
    return [`No limits (${refusal.code}): ${refusal.detail}. The points are drawn and judged by nothing.`];
  return [limitLine(chart), ...outLines(studied)];
}

function limitLine(chart: DrawnChart): string {
  const { estimator, from, to, n, k } = chart.provenance;
  const [lower, centre, upper] = [chart.lower, chart.centres, chart.upper].map((line) => only(line));
  const last = chart.values.length - 1;
  const moves = [chart.lower, chart.centres, chart.upper].some((line) => only(line) === null && line.at(last) !== null);
  const lines = moves
    ? `Limits move from point to point; at the last one ${side(chart.lower.at(last), "lower")}, centre ${text(chart.centres.at(last))}, ${side(chart.upper.at(last), "upper")}.`
    : `${capital(side(lower ?? null, "lower limit"))}, centre ${text(centre ?? null)}, ${side(upper ?? null, "upper limit")}.`;
  const rest = `They rest on ${estimatorWords(estimator)}, from ${counted(n, "point")} of the baseline ${from} to ${to - 1}, ${text(k)} sigma to a side.`;
  return `${lines} ${rest}`;
}

function outLines(studied: StudiedChart): readonly string[] {
  const { chart, signals } = studied;
  const told: string[] = [];
  let [out, patterns, missing] = [0, 0, 0];
  for (let place = 0; place < chart.values.length; place++) {
    const verdict = verdictAt(chart, place);
    if (verdict === "not-evaluable") missing += 1;
    if (!isMarked(chart, signals, place)) continue;
    if (verdict === "above" || verdict === "below") out += 1;
    else patterns += 1;
    if (told.length < toldAtMost) told.push(pointLine(studied, place));
  }
  const more = out + patterns - told.length;
  return [
    `${signalCount(out, patterns)}${out + patterns === 0 ? "." : ":"}`,
    ...told,
    ...(more > 0 ? [`  and ${more} more, all of them in --json`] : []),
    ...(missing > 0 ? [`${capital(counted(missing, "point"))} could not be evaluated.`] : []),
  ];
}

function signalCount(out: number, patterns: number): string {
  if (out + patterns === 0) return "No point lies beyond a limit, and none completes a pattern";
  if (patterns === 0) return `${counted(out, "point")} beyond a limit`;
  if (out === 0) return `No point beyond a limit, ${counted(patterns, "point")} completing a pattern`;
  return `${counted(out, "point")} beyond a limit, ${counted(patterns, "other")} completing a pattern`;
}

function pointLine({ chart, signals }: StudiedChart, place: number): string {
  const verdict = verdictAt(chart, place);
  const value = text(chart.values.at(place));
  const why: string[] = [];
  if (verdict === "above") why.push(`above the upper limit ${text(chart.upper.at(place))}`);
  if (verdict === "below") why.push(`below the lower limit ${text(chart.lower.at(place))}`);
  for (const { rule, side: sign, members } of signals.at(place)) {
    if (rule === "beyond-limit") continue;
    const where = sign === "both" ? "" : ` ${sign}`;
    why.push(`${rule}${where} (points ${members[0] ?? place} to ${members.at(-1) ?? place})`);
  }
  return `  point ${place}: ${value}, ${why.join("; ")}`;
}

function diagnosticLines({ diagnostics, sigmaWithin, sigmaOverall, changePoints }: StudyResult): readonly string[] {
  const { lag1, lag1Band, ljungBox, andersonDarling, overallToWithin, distinctValues } = diagnostics;
  const lines: string[] = [];
  if (sigmaWithin !== null) lines.push(`Sigma within, by the location chart's estimator: ${text(sigmaWithin)}.`);
  if (sigmaOverall !== null) lines.push(`Sigma overall, of all baseline values: ${text(sigmaOverall)}.`);
  if (overallToWithin !== null) {
    lines.push(
      `Overall variance is ${text(overallToWithin)} times the variance within; about 1 where nothing moves between.`,
    );
  }
  if (lag1 !== null && lag1Band !== null) {
    const inside = lag1 >= lag1Band[0] && lag1 <= lag1Band[1];
    const says = inside ? "as chance alone gives" : "more than chance gives: neighbouring points depend on each other";
    lines.push(
      `Correlation of neighbours (lag 1) ${text(lag1)}, band ${text(lag1Band[0])} to ${text(lag1Band[1])}: ${says}.`,
    );
  }
  if (ljungBox !== null)
    lines.push(`Ljung-Box over ${ljungBox.lags} lags: Q ${text(ljungBox.q)}, p ${text(ljungBox.p)}.`);
  if (andersonDarling !== null) {
    const says = andersonDarling.p < 0.05 ? "hardly a normal distribution" : "nothing against a normal distribution";
    lines.push(`Anderson-Darling adjusted ${text(andersonDarling.adjusted)}, p ${text(andersonDarling.p)}: ${says}.`);
  }
  lines.push(`${capital(counted(distinctValues, "distinct value"))}.`);
  for (const { index, set } of changePoints) {
    const span = set.length > 1 ? `, by the data anywhere from ${set[0]} to ${set.at(-1)}` : "";
    lines.push(`The level changes at point ${index}${span}.`);
  }
  return lines;
}

function capabilityLines(capability: NonNullable<StudyResult["capability"]>): readonly string[] {
  const names = { cp: "Cp", cpk: "Cpk", pp: "Pp", ppk: "Ppk", cpm: "Cpm" } as const;
  return (Object.keys(names) as (keyof typeof names)[]).map((key) => indexLine(names[key], capability[key]));
}

function indexLine(name: string, index: StudyIndex): string {
  if ("refused" in index) return `${name}: refused (${index.refused}): ${index.why}.`;
  const { estimate, lower, upper, confidence } = index;
  return `${name} ${text(estimate)}, ${text(confidence * 100)} % interval ${text(lower)} to ${text(upper)}.`;
}

function side(value: number | null, word: string): string {
  return value === null ? `no ${word}` : `${word} ${text(value)}`;
}

/** Five figures, as people read them; --json has them all. */
export function text(value: number | null): string {
  if (value === null) return "none";
  const rounded = Number(value.toPrecision(5));
  return String(Number.isFinite(rounded) ? rounded : value);
}

function counted(n: number, word: string): string {
  return `${n === 0 ? "no" : n} ${n === 1 ? word : `${word}s`}`;
}

function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
