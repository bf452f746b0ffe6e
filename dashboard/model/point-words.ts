import type { WireCharacteristic, WireFlag, WirePoint } from "../../api/contract/wire.ts";
import { spreadWord, subgroupWords } from "./chart-words.ts";
import { ruleWords } from "./flag-words.ts";
import { figure, sentenceCase } from "./numbers.ts";
import { runName } from "./run-name.ts";
import type { SiteTimes } from "./times.ts";
import { unitAfter, unitWord } from "./units.ts";

const verdicts: Readonly<Record<WirePoint["location"]["verdict"], string>> = {
  within: "within the limits",
  above: "above the high limit",
  below: "below the low limit",
  "not-evaluable": "not judged",
};

/** One point in one sentence, for the line under the chart and for those who hear it. */
export function pointWords(
  point: WirePoint,
  characteristic: WireCharacteristic,
  flags: ReadonlyMap<string, WireFlag>,
  times: SiteTimes,
  now: number,
): string {
  const unit = unitAfter(unitWord(characteristic.unit, characteristic.reference, characteristic.quantity));
  const parts = [sentenceCase(runName(point.run, characteristic.runWord, times, now))];
  const { value } = point.location;
  if (value === null) parts.push(`no value: ${point.refusal?.detail ?? "no reason given"}`);
  else
    parts.push(
      `${figure(value, characteristic.digits)}${unit}, ${point.imported ? "imported, not judged" : judged(point)}`,
    );
  if (point.spread.value !== null)
    parts.push(`${spreadWord(characteristic)} ${figure(point.spread.value, characteristic.digits)}${unit}`);
  parts.push(...subgroupWords(point, characteristic));
  for (const { rule } of point.silenced ?? []) parts.push(`${ruleWords([rule]).toLowerCase()}, not flagged`);
  const flag = point.flag === null ? undefined : flags.get(point.flag);
  if (point.signals.length > 0) parts.push(flag === undefined ? "flagged" : `flag ${flag.number}`);
  return parts.join(" · ");
}

function judged(point: WirePoint): string {
  return point.limitSet === null ? "no limits in force" : verdicts[point.location.verdict];
}
