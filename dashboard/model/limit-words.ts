import type { WireCharacteristic, WireLimitSet } from "../../api/contract/wire.ts";
import { rulesSilencedBy } from "../../spc/rules/applicability.ts";
import { chanceWords } from "./chart-words.ts";
import { ruleWords } from "./flag-words.ts";
import { counted, figure, plural } from "./numbers.ts";
import type { SiteTimes } from "./times.ts";
import { unitAfter, unitWord } from "./units.ts";

const cautions: Readonly<Record<string, string>> = {
  "few-values": "Fewer than a hundred runs: the limits themselves are uncertain.",
  autocorrelated: "Neighbouring runs are alike, so chance crosses these limits more often than is said here.",
  "overall-basis-recommended": "Limits from all values would suit this process better than limits from moving ranges.",
  "step-in-baseline": "The level stepped within the baseline: two processes may stand in it.",
  skewed: "The values are lopsided, so one limit is crossed by chance more often than the other.",
  "few-distinct-values": "Few distinct values: the instrument rounds more coarsely than the process moves.",
  "overall-to-within": "All values spread more than neighbouring ones: something moves the process slowly.",
  "signals-in-baseline": "The baseline holds more runs beyond these limits than chance gives.",
  "between-subgroups":
    "Averages vary more than the spread within subgroups explains, so these limits signal too often.",
};

/** `Working limits 1, from 12 Jan 06:00, 62 loads, set by one engineer and agreed by another`. */
export function limitSetTitle(limits: WireLimitSet, characteristic: WireCharacteristic, times: SiteTimes): string {
  const from = Date.parse(limits.effectiveFrom);
  return (
    `Working limits ${limits.revision}, from ${times.fullDay(from)} ${times.minute(from)}, ` +
    `${baselineWords(limits, characteristic)}, set by ${limits.proposedBy} and agreed by ${limits.agreedBy}`
  );
}

/** What the limits rest on, sentence by sentence. */
export function limitSentences(
  limits: WireLimitSet,
  characteristic: WireCharacteristic,
  times: SiteTimes,
): readonly string[] {
  const unit = unitAfter(unitWord(characteristic.unit, characteristic.reference, characteristic.quantity));
  const { baseline, diagnostics } = limits;
  const left = Object.entries(baseline.excluded);
  const runs = baselineWords(limits, characteristic);
  const sigma = (value: number): string => `${figure(value, characteristic.digits + 1)}${unit}`;
  const [low, high] = diagnostics.lag1Band;
  const inside = diagnostics.lag1 >= low && diagnostics.lag1 <= high;
  const out = [
    `${runs}, ${times.fullDay(Date.parse(baseline.from))} to ${times.fullDay(Date.parse(baseline.to))}${importedPart(limits)}.`,
    left.length === 0
      ? "None was left out."
      : `${left.length} left out: ${[...new Set(left.map(([, cause]) => cause))].join("; ")}.`,
    sigmaSentence(limits, characteristic, sigma),
    ...maybe(chanceWords(limits, characteristic)),
    `Lag-1 correlation ${figure(diagnostics.lag1, 2)}, band of chance ${figure(low, 2)} to ${figure(high, 2)}: ` +
      (inside ? "no sign of carry-over." : `one ${characteristic.runWord} leans on the one before.`),
    ...maybe(silencedWords(limits, inside)),
    ...diagnostics.cautions.map((code) => cautions[code] ?? `Caution: ${code.replaceAll("-", " ")}.`),
  ];
  if (limits.reason !== "") out.push(`Reason given: ${limits.reason.replace(/\.$/, "")}.`);
  return out;
}

function maybe(sentence: string | null): readonly string[] {
  return sentence === null ? [] : [sentence];
}

/** `62 loads`, `31 subgroups of 4 flasks`. */
function baselineWords({ baseline, scheme }: WireLimitSet, { runWord }: WireCharacteristic): string {
  if (scheme === undefined || scheme.runs < 2) return counted(baseline.n, runWord);
  return `${counted(baseline.n, "subgroup")} of ${counted(scheme.runs, runWord)}`;
}

function sigmaSentence(
  limits: WireLimitSet,
  { runWord }: WireCharacteristic,
  sigma: (value: number) => string,
): string {
  const { diagnostics, scheme } = limits;
  const within = (scheme?.runs ?? 1) > 1 ? "within subgroups" : "from moving ranges";
  const by =
    limits.basis === "chart"
      ? within === "within subgroups"
        ? "the spread within"
        : "the moving ranges"
      : "all values";
  const width = scheme?.ewma?.width ?? limits.k;
  const digits = Number.isInteger(width) ? 0 : 2;
  const moved =
    scheme?.ewma === undefined
      ? ""
      : ` The newest point weighs ${figure(scheme.ewma.lambda, 2)} of the mean, all before it the rest; its limits are narrower over the first points.`;
  const widened =
    (scheme?.ewma?.share ?? 0) > 0 ? ` They are wider because one ${runWord} leans on the one before.` : "";
  return (
    `Sigma ${sigma(diagnostics.sigmaWithin)} ${within}; ${sigma(diagnostics.sigmaOverall)} from all values. ` +
    `The limits stand ${figure(width, digits)} sigma from the centre, by ${by}.${moved}${widened}`
  );
}

/** Patterns that are drawn and call nobody, where one run leans on the one before. */
function silencedWords({ rules, basis }: WireLimitSet, inside: boolean): string | null {
  const silent = rulesSilencedBy(!inside).filter((rule) => rules.includes(rule));
  if (silent.length === 0 || basis !== "chart") return null;
  return `${ruleWords(silent)}: drawn, but no flag opens on it, for it comes of itself where neighbours lean on each other.`;
}

function importedPart({ baseline }: WireLimitSet): string {
  if (baseline.imported === 0) return "";
  return baseline.imported === baseline.n ? ", all imported" : `, ${baseline.imported} of them imported`;
}

/** `14 of 25 runs for trial limits`, or why there are none. */
export function missingLimits(characteristic: WireCharacteristic): string | null {
  const why = characteristic.limitsMissing;
  if (why === null) return characteristic.limits === null ? "no limits in force" : null;
  if (why.needs !== undefined && why.has !== undefined && why.has < why.needs) {
    const what = characteristic.subgroup > 1 ? "subgroups" : plural(characteristic.runWord);
    return `${why.has} of ${why.needs} ${what} for trial limits`;
  }
  return why.detail;
}
