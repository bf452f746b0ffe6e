import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { mean } from "../stats/moments.ts";
import { blocksOf } from "./blocks.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { minuteMs, ovenDefaults, ovenRoles, ovenSoak } from "./oven-soak.ts";
import { coverageOf, spacingOf } from "./readings.ts";

const blockMs = 10 * minuteMs;
/** Half of ten minutes still tells their mean; the largest range is not known while a whole ten minutes are not. */
const leastOfBlock = 0.5;

/**
 * `oven.spread`: how unlike the positions became, which a stopped fan or a drifting sensor shows.
 *
 * @shape   roles `t1`, `t2`, `t3`; settings `set` in Cel (55) and `tolerance` in K (2)
 * @unit    K
 * @method  of each whole ten minutes of the soak the range of the positions' means; the largest of them
 * @refuses those of `ovenSoak`; `coverage-too-low` when ten minutes are not covered to half at all positions
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n log n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/oven.test.ts
 */
export function ovenSpread(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const numbers = featureNumbers("oven.spread", settings, ovenDefaults);
  return guarded({
    id: "oven.spread",
    version: 3,
    unit: "K",
    roles: ovenRoles,
    plusMinus: 0.4,
    extract(trace) {
      const soak = ovenSoak(trace, numbers);
      if (!soak.ok) return soak;
      const { window, positions } = soak.value;
      const means: (number | null)[][] = [];
      for (const [i, readings] of positions.entries()) {
        const every = spacingOf(trace, ovenRoles[i]!);
        if (!every.ok) return every;
        means.push(
          blocksOf(readings, window, blockMs).map((block, b) => {
            const fromMs = window.fromMs + b * blockMs;
            const coverage = coverageOf(block, { name: "ten minutes", fromMs, toMs: fromMs + blockMs }, every.value);
            return coverage >= leastOfBlock ? mean(block.map(({ value }) => value)) : null;
          }),
        );
      }
      const ranges = (means[0] ?? []).flatMap((_, b) => {
        const atOnce = means.map((position) => position[b] ?? null).filter((value) => value !== null);
        return atOnce.length === ovenRoles.length ? [Math.max(...atOnce) - Math.min(...atOnce)] : [];
      });
      if (ranges.length === 0 || ranges.length < (means[0]?.length ?? 0)) {
        return refuse("coverage-too-low", "ten minutes of the soak are not covered at all positions");
      }
      return ok(Math.max(...ranges));
    },
  });
}
