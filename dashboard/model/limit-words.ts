import type { WireFloorCharacteristic, WireLimitSet } from "../../api/contract/wire.ts";
import { rulesSilencedBy } from "../../spc/rules/applicability.ts";
import { ruleWords } from "./flag-words.ts";
import { plural } from "./numbers.ts";

/** Patterns that are drawn and call nobody, where one run leans on the one before. */
export function silencedWords({ rules, basis, diagnostics }: WireLimitSet): string | null {
  const [low, high] = diagnostics.lag1Band;
  const inside = diagnostics.lag1 >= low && diagnostics.lag1 <= high;
  const silent = rulesSilencedBy(!inside).filter((rule) => rules.includes(rule));
  if (silent.length === 0 || basis !== "chart") return null;
  return `${ruleWords(silent)}: drawn, but no flag opens on it, for it comes of itself where neighbours lean on each other.`;
}

/** `14 of 25 runs for trial limits`, or why there are none. */
export function missingLimits(characteristic: WireFloorCharacteristic): string | null {
  const why = characteristic.limitsMissing;
  if (why === null) return characteristic.limits === null ? "no limits in force" : null;
  if (why.needs !== undefined && why.has !== undefined && why.has < why.needs) {
    const what = characteristic.subgroup > 1 ? "subgroups" : plural(characteristic.runWord);
    return `${why.has} of ${why.needs} ${what} for trial limits`;
  }
  return why.detail;
}
