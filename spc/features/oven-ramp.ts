import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { robustLine } from "../stats/line.ts";
import { mean } from "../stats/moments.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { minuteMedians, ovenDefaults, ovenRoles, ovenSoak } from "./oven-soak.ts";
import { leastCoverage, soundReadings, spacingOf } from "./readings.ts";
import { wholeRun } from "./window.ts";

/** Fewest minutes on the way up that a slope is taken from. */
const leastMinutes = 4;

/**
 * `oven.ramp`: how fast the oven came up; too fast cracks coats and warps thin patterns.
 *
 * @shape   roles `t1`, `t2`, `t3`; settings `set` in Cel (55) and `tolerance` in K (2)
 * @unit    K/min
 * @method  robust line through the minutes' means of the positions, from a tenth to nine tenths of the way from the first
 *          minute to the set temperature minus tolerance
 * @refuses those of `ovenSoak`; `too-few` with fewer than four such minutes; `coverage-too-low` when a tenth of the minutes
 *          until the soak lack a position
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n log n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/oven.test.ts
 */
export function ovenRamp(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const numbers = featureNumbers("oven.ramp", settings, ovenDefaults);
  return guarded({
    id: "oven.ramp",
    version: 2,
    unit: "K/min",
    roles: ovenRoles,
    plusMinus: 0.2,
    extract(trace) {
      const load = wholeRun(trace.run);
      if (!load.ok) return load;
      const soak = ovenSoak(trace, numbers);
      if (!soak.ok) return soak;
      const rising = { name: "the way up", fromMs: load.value.fromMs, toMs: soak.value.window.fromMs };
      const medians: (readonly (number | null)[])[] = [];
      for (const role of ovenRoles) {
        const every = spacingOf(trace, role);
        if (!every.ok) return every;
        const readings = soundReadings(trace, role).filter(({ tMs }) => rising.fromMs <= tMs && tMs < rising.toMs);
        medians.push(minuteMedians(readings, rising, every.value));
      }
      const minutes = (medians[0] ?? []).flatMap((_, minute): [number, number][] => {
        const values = medians.map((position) => position[minute] ?? null).filter((value) => value !== null);
        return values.length === ovenRoles.length ? [[minute, mean(values)]] : [];
      });
      const count = medians[0]?.length ?? 0;
      if (minutes.length < leastCoverage * count) {
        return refuse("coverage-too-low", "too many minutes of the way up lack a position");
      }
      const from = minutes[0]?.[1] ?? 0;
      const way = numbers.set - numbers.tolerance - from;
      const amid = minutes.filter(([, value]) => value >= from + 0.1 * way && value <= from + 0.9 * way);
      if (amid.length < leastMinutes) {
        return refuse("too-few", "the oven was warm already, or came up too fast to tell", {
          needs: leastMinutes,
          has: amid.length,
        });
      }
      const line = robustLine(amid);
      return line.ok ? ok(line.value.slope) : line;
    },
  });
}
