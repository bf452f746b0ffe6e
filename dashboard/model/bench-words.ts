import type { WireBench, WireBenchList, WireCaution, WireChance, WireRestsOn } from "../../api/contract/bench-wire.ts";
import type { WireFlag, WireLimitSet, WirePoint } from "../../api/contract/wire.ts";
import { digitsApart } from "../../spc/model/digits-apart.ts";
import { countedPoints } from "./bench-count.ts";
import { setTitle } from "./bench-picture.ts";
import { patternWords, ruleName } from "./bench-rules.ts";
import { type ChartKind, locationWord, spreadWord, subgroupWords } from "./chart-words.ts";
import { limitUncertainty } from "./limit-uncertainty.ts";
import { counted, figure, plural, sentenceCase } from "./numbers.ts";
import { runName } from "./run-name.ts";
import type { SiteTimes } from "./times.ts";
import { unitAfter, unitWord } from "./units.ts";

type BenchSignal = WireBench["signals"][number];
type BenchPoint = WireBench["points"][number];

/** What the words of one chart need to know of it. */
export interface Wording {
  readonly digits: number;
  readonly runWord: string;
  /** Runs of a full subgroup; 1 where every run is a point. */
  readonly subgroup: number;
  /** After a number, with its thin space; empty for a bare ratio. */
  readonly unit: string;
  readonly times: SiteTimes;
  readonly now: number;
}

export function wordingOf(bench: WireBench, times: SiteTimes): Wording {
  const { digits, runWord, unit } = bench.characteristic;
  const after = unitAfter(unitWord(unit, bench.reference, bench.quantity));
  const subgroup = bench.limits?.scheme?.runs ?? bench.subgroup;
  return { digits, runWord, subgroup, unit: after, times, now: Date.parse(bench.now) };
}

export function valueWords(value: number, { digits, unit }: Wording): string {
  return `${figure(value, digits)}${unit}`;
}

/** The flag that the page is about: the one asked for, else the open one, else none. */
export function flagAsked(bench: WireBench, asked: string | null): WireFlag | null {
  const named = bench.flags.find((flag) => flag.id === asked);
  return named ?? bench.flags.findLast((flag) => flag.state !== "done") ?? null;
}

/** Flags that stand above the chart: the one asked for, though it be closed, and what is open. */
export function flagsShown(bench: WireBench, asked: WireFlag | null): readonly WireFlag[] {
  const open = bench.flags.filter((flag) => flag.state !== "done" && flag.id !== asked?.id);
  return asked === null ? open : [asked, ...open];
}

/** Why a flag was raised, in whole sentences. */
export function whySentences(bench: WireBench, flag: WireFlag, say: Wording): readonly string[] {
  const signals = bench.signals.filter((one) => one.flag === flag.id);
  const first = signals[0];
  if (first === undefined) return ["The points that made this flag lie before the ones drawn here."];
  const out = signals.filter(({ run }) => run === first.run).map((one) => signalSentence(one, bench, say));
  const runs = new Set(signals.map(({ run }) => run));
  const last = signals.at(-1)!;
  if (runs.size > 1) {
    const more = runs.size - 1 === 1 ? "One more has" : `${runs.size - 1} more have`;
    out.push(`${more} signalled since, the newest ${runName(last.run, say.runWord, say.times, say.now)}.`);
    const known = new Set(signals.filter(({ run }) => run === first.run).map(({ rule, on }) => `${rule} ${on}`));
    for (const one of signals.toReversed()) {
      if (known.has(`${one.rule} ${one.on}`)) continue;
      known.add(`${one.rule} ${one.on}`);
      out.push(signalSentence(one, bench, say));
    }
  }
  out.push(...changeSentences(bench, flag, say), ...chanceOfRules(bench, signals));
  return out;
}

/** One signal: what stood where, against which line of which limit set, since when. */
function signalSentence(one: BenchSignal, bench: WireBench, say: Wording): string {
  const name = runName(one.run, say.runWord, say.times, say.now);
  const set = setOf(bench, one.limitSet);
  const since = set === undefined ? "" : `, in force since ${say.times.fullDay(Date.parse(set.effectiveFrom))}`;
  const finer = { ...say, digits: digitsApart(one.value, one.line, say.digits) };
  const [value, against] = [valueWords(one.value, finer), valueWords(one.line, finer)];
  if (one.on === "specification") {
    return `${sentenceCase(name)} stood at ${value}, ${one.side} the specification ${against}.`;
  }
  if (one.members.length > 1) {
    const where = one.on === "spread" ? " on the spread chart" : "";
    const row = patternWords(one.rule, one.side, one.members.length);
    const centre = one.rule === "nine-on-one-side" ? ` ${valueWords(one.line, say)}` : "";
    return `${sentenceCase(row)}${centre}${where}, up to ${name}${since}.`;
  }
  const line = `the ${one.side === "above" ? "high" : "low"} limit ${against}`;
  return `${measured(one, name, kindOf(bench))} ${value}, ${one.side} ${line}${since}.`;
}

/** What the words about a chart's make-up need. */
export function kindOf({ chart, subgroup, characteristic }: WireBench): ChartKind {
  return { chart, subgroup, runWord: characteristic.runWord };
}

/** Whose number it is: the run's own, its step from the one before, or what was reckoned up to it. */
function measured({ on }: BenchSignal, name: string, kind: ChartKind): string {
  if (on === "spread") {
    return spreadWord(kind) === "moving range"
      ? `${sentenceCase(name)} differed from the one before by`
      : `Up to ${name} the standard deviation within the subgroup was`;
  }
  return kind.chart === "individuals"
    ? `${sentenceCase(name)} stood at`
    : `Up to ${name} ${locationWord(kind)} stood at`;
}

const verdicts: Readonly<Record<WirePoint["location"]["verdict"], string>> = {
  within: "within the limits",
  above: "above the high limit",
  below: "below the low limit",
  "not-evaluable": "not judged",
};

/** One point in one sentence, for the line under the chart and for those who hear it. */
export function pointWords(bench: WireBench, point: BenchPoint, say: Wording): string {
  const kind = kindOf(bench);
  const parts = [sentenceCase(runName(point.run, say.runWord, say.times, say.now))];
  const { value, verdict } = point.location;
  if (value === null) parts.push(`no value: ${point.refusal?.detail ?? "no reason given"}`);
  else {
    const judged = point.limitSet === null ? "no limits in force" : verdicts[verdict];
    parts.push(`${valueWords(value, say)}, ${point.imported ? "imported, not judged" : judged}`);
  }
  if (point.spread.value !== null) parts.push(`${spreadWord(kind)} ${valueWords(point.spread.value, say)}`);
  parts.push(...subgroupWords(point, kind));
  for (const { rule } of point.silenced ?? []) parts.push(`${ruleName(rule)}, not flagged`);
  const flag = bench.flags.find(({ id }) => id === point.flag);
  if (point.signals.length > 0) parts.push(flag === undefined ? "flagged" : `flag ${flag.number}`);
  return parts.join(" · ");
}

/** What a point was found to be, in the table's cell. */
export function judgedWords(bench: WireBench, point: BenchPoint): string {
  if (point.location.value === null) return point.refusal?.detail ?? "not judged";
  const said = [
    point.imported ? "imported" : point.location.verdict.replace("-", " "),
    ...subgroupWords(point, kindOf(bench)),
    ...(point.silenced ?? []).map(({ rule }) => `${ruleName(rule)}, not flagged`),
  ];
  return said.join("; ");
}

/** `Working limits 3, from …, 62 loads, set by … and agreed by …`, of the limits that the flag stands against. */
export function flagLimits(bench: WireBench, flag: WireFlag, say: Wording): string | null {
  const first = bench.signals.find((one) => one.flag === flag.id && one.limitSet !== null);
  const set = first === undefined ? undefined : setOf(bench, first.limitSet);
  return set === undefined ? null : setTitle(set, say.runWord, say.times);
}

function setOf(bench: WireBench, id: string | null): WireLimitSet | undefined {
  const drawn = bench.phases.map(({ limits }) => limits);
  return [...drawn, bench.limits].find((limits) => limits !== null && limits.id === id) ?? undefined;
}

function changeSentences(bench: WireBench, flag: WireFlag, say: Wording): readonly string[] {
  if (bench.change === null || bench.change.flag !== flag.id) return [];
  const { found } = bench.change;
  if ("refusal" in found) return [`When it began cannot be said: ${found.refusal.detail}.`];
  const name = (run: string): string => runName(run, say.runWord, say.times, say.now);
  const { set } = found;
  const range =
    set.length < 2
      ? ""
      : `; it may be any of ${set.length} ${plural(say.runWord)} from ${name(set[0]!)} to ${name(set.at(-1)!)}`;
  return [
    `The level changed from ${valueWords(found.before, say)} to ${valueWords(found.after, say)} near ${name(found.run)}${range}.`,
    ...found.cautions.map(({ text }) => `${sentenceCase(text)}.`),
  ];
}

function chanceOfRules(bench: WireBench, signals: readonly BenchSignal[]): readonly string[] {
  const rules = [...new Set(signals.filter(({ on }) => on === "location").map(({ rule }) => rule))];
  const out = rules.flatMap((rule) => {
    const once = bench.price.find((one) => one.rule === rule)?.onceIn ?? null;
    return once === null ? [] : [`Chance alone gives ${ruleName(rule)} about once in ${whole(once)} points.`];
  });
  const pair = bench.chance?.pair.onceIn ?? null;
  if (pair !== null && signals.some(({ on }) => on === "spread")) {
    out.push(`Chance alone signals on one or the other of these two charts about once in ${whole(pair)} points.`);
  }
  if (signals.some(({ on }) => on === "specification")) {
    out.push("A specification is what was asked for, not what chance does: no rate is stated for it.");
  }
  return out;
}

/** What limits rest on: n, window, both sigmas, lag-1 with its band. */
export function restsOnSentences(rests: WireRestsOn, say: Wording): readonly string[] {
  const day = (at: string): string => say.times.fullDay(Date.parse(at));
  const sigma = (value: number): string => `${figure(value, say.digits + 1)}${say.unit}`;
  const [low, high] = rests.lag1Band;
  const inside = rests.lag1 >= low && rests.lag1 <= high;
  const left = rests.excluded === 0 ? "none left out" : `${rests.excluded} left out with a recorded cause`;
  const past =
    rests.imported === 0 ? "" : rests.imported === rests.n ? ", all imported" : `, ${rests.imported} of them imported`;
  return [
    `${sentenceCase(countedPoints(rests.n, say))}, ${day(rests.from)} to ${day(rests.to)}${past}; ${left}.`,
    `Sigma ${sigma(rests.sigmaWithin)} from ${withinWords(rests.estimator)}; from all values ${sigma(rests.sigmaOverall)}.`,
    `Lag-1 correlation ${figure(rests.lag1, 2)}, band of chance ${figure(low, 2)} to ${figure(high, 2)}: ` +
      (inside ? "no sign of carry-over." : `one ${say.runWord} leans on the one before.`),
  ];
}

/** The same of limits in force, which carry their baseline and diagnostics. */
export function restsOnOf(limits: WireLimitSet): WireRestsOn {
  const { baseline, diagnostics, estimator } = limits;
  return {
    ...{ n: baseline.n, from: baseline.from, to: baseline.to, imported: baseline.imported, estimator },
    excluded: Object.keys(baseline.excluded).length,
    ...{ sigmaWithin: diagnostics.sigmaWithin, sigmaOverall: diagnostics.sigmaOverall, lag1: diagnostics.lag1 },
    ...{ lag1Band: diagnostics.lag1Band, distinctValues: diagnostics.distinctValues },
  };
}

/** What sigma within comes from: the chart's own estimator, also where the limits rest on all values. */
function withinWords(estimator: string): string {
  return estimator === "moving-range" ? "moving ranges" : "the spread within";
}

/** Which of the two sigmas the limits stand on. */
export function basisSentence(limits: Pick<WireLimitSet, "basis" | "k" | "scheme">): string {
  const by = limits.basis === "chart" ? "by the chart's own spread" : "by all values";
  const ewma = limits.scheme?.ewma;
  if (ewma === undefined) return `The limits stand ${limits.k} sigma from the centre, ${by}.`;
  const weight = `The newest point weighs ${figure(ewma.lambda, 2)} of the mean, all before it the rest.`;
  return `The limits stand ${ewma.width} sigma of that mean from the centre, ${by}. ${weight}`;
}

/** How often chance alone signals, with the range that limits from so few points leave open. */
export function chanceSentences(
  chance: WireChance,
  n: number,
  say: Pick<Wording, "subgroup" | "runWord">,
): readonly string[] {
  // What was proposed before rates could be untold says nothing of it.
  const untold = chance.untold ?? null;
  if (untold !== null) return [`No rate of chance signals is told: ${untold.detail}.`];
  const out: string[] = [];
  if (chance.onceIn !== null) {
    const weekly = chance.aWeek === null ? "" : `, ${rate(chance.aWeek)} a week at ${whole(chance.pointsAWeek)} points`;
    const error = chance.standardError === null ? "" : ` (simulated, give or take ${whole(chance.standardError)})`;
    out.push(
      `Were centre and sigma known, chance alone would signal once in ${whole(chance.onceIn)} points${error}${weekly}.`,
    );
  }
  const { pair, range } = chance;
  if (chance.onceIn === null) out.push("No rate is stated for the location chart: none of its rules opens a flag.");
  if (pair.onceIn !== null) {
    const about = pair.method === "exact" ? "" : "about ";
    out.push(
      `With the spread chart beside it: ${about}once in ${whole(pair.onceIn)} points${pair.aWeek === null ? "" : `, ${rate(pair.aWeek)} a week`}.`,
    );
  }
  const alone =
    range.rules.length < chance.rules.length ? "For the limits alone, without the run rules, it" : "The true rate";
  if ("refusal" in range) out.push(`What so few points leave open is not stated: ${range.refusal.detail}.`);
  else {
    out.push(
      `${alone} lies, for eight in ten baselines of ${countedPoints(n, say)}, between 1 in ${whole(range.tenth)} and 1 in ${whole(range.ninetieth)}.`,
    );
    if (range.rules.length < chance.rules.length) {
      out.push("How far so few points may carry the rate with the run rules is not reckoned: it would take too long.");
    }
  }
  return out;
}

/** What the bars at the limits' right ends say; null where it cannot be said. */
export function uncertaintySentence(limits: WireLimitSet, say: Wording): string | null {
  const by = limitUncertainty(limits);
  if (by === null) return null;
  const digits = digitsApart(by, 0, say.digits);
  return `So many points fix each limit to within ${figure(by, digits)}${say.unit} either way (95 %).`;
}

export function cautionSentences(cautions: readonly WireCaution[]): readonly string[] {
  return cautions.map(({ text }) => `${sentenceCase(text)}.`);
}

/** Flags a week, with the digits such a number deserves. */
export function rate(aWeek: number): string {
  return figure(aWeek, aWeek < 1 ? 2 : aWeek < 20 ? 1 : 0);
}

export function whole(value: number): string {
  return value >= 10_000 ? `${figure(value / 1_000, 0)} 000` : figure(value, 0);
}

/** At the end of a row in the list: what makes it need a look. */
export function needWords(item: WireBenchList["items"][number]): string {
  if (item.flag !== null) return `flag ${item.flag.number}`;
  if (item.need === "signals") return counted(item.signalsLastWeek, "signal");
  if (item.need === "stale-limits") return "look again";
  if (item.missing !== null) {
    const { has, needs } = item.missing;
    return has < needs ? `${has} of ${needs}` : "no limits";
  }
  const value = item.latest?.value ?? null;
  if (value === null || item.limits === null) return "no news";
  const { lower, upper, sigma } = item.limits;
  const away = Math.min(upper - value, value - lower) / sigma;
  return Number.isFinite(away) ? `${figure(away, 1)} σ` : "";
}

/** The whole row in one sentence, for those who hear it. */
export function needSentence(item: WireBenchList["items"][number]): string {
  if (item.flag !== null) return `flag ${item.flag.number}, ${item.flag.says}`;
  if (item.need === "signals") return `${counted(item.signalsLastWeek, "signal")} in the last week`;
  if (item.need === "stale-limits") return `limits to look at again: ${item.stale.map(({ text }) => text).join("; ")}`;
  if (item.missing !== null) return missingWords(item.missing, { runWord: "point", subgroup: 1 });
  const words = needWords(item);
  return words === "no news" ? "no value yet" : `${words.replace("σ", "sigma")} from the nearer limit`;
}

/** `14 of 25 loads for trial limits` */
export function missingWords(
  missing: { readonly has: number; readonly needs: number },
  { runWord, subgroup }: Pick<Wording, "subgroup" | "runWord">,
): string {
  const word = subgroup < 2 ? runWord : "subgroup";
  const enough = missing.has >= missing.needs;
  return enough
    ? `No limits yet, ${counted(missing.has, word)} are there: enough for trial limits`
    : `${missing.has} of ${missing.needs} ${plural(word)} for trial limits`;
}
