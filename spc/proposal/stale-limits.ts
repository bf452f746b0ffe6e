import type { Characteristic } from "../model/characteristic.ts";
import type { Caution } from "../model/drawn-chart.ts";
import type { LimitSet } from "../model/limit-set.ts";
import { SETTLED_VALUES } from "../stats/thresholds.ts";

const DAY_MS = 24 * 3_600_000;
/** Half a year: tools, media and people have changed by then. */
const OLD_DAYS = 180;

/**
 * Why limits in force should be looked at again. None of this changes them: only two people do.
 *
 * @source  common practice, no source
 */
export function staleLimits(
  set: LimitSet,
  characteristic: Characteristic,
  now: { readonly nowMs: number; readonly valuesSince: number },
): readonly Caution[] {
  const days = Math.floor((now.nowMs - set.frozenAtMs) / DAY_MS);
  const found: Caution[] = [];
  if (set.unit !== characteristic.unit) {
    found.push({
      code: "settings-changed",
      text: `they are in ${set.unit}, the settings now say ${characteristic.unit}`,
    });
  } else if (!sameRules(set.rules, characteristic.rules)) {
    found.push({ code: "settings-changed", text: "the settings now ask for other rules than these limits go with" });
  }
  if (days > OLD_DAYS) found.push({ code: "old-limits", text: `they were set ${days} days ago` });
  if (set.baseline.n < SETTLED_VALUES && now.valuesSince >= SETTLED_VALUES) {
    const text = `they rest on ${set.baseline.n} values, and ${now.valuesSince} have come since`;
    found.push({ code: "few-values", text });
  }
  return found;
}

function sameRules(a: readonly string[], b: readonly string[]): boolean {
  return [...a].sort().join(" ") === [...b].sort().join(" ");
}
