import { ok } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { withoutNumbers } from "./extractor.ts";
import { type PourFlow, pourFlow } from "./pour-flow.ts";

/**
 * A feature of how metal flowed: `pour.gap` (s without flow), `pour.gaps` (how often), `pour.flow_time` (s from first to last
 * flow), `pour.mass` (kg), `pour.rate` (kg/s).
 *
 * @shape   role `mass`, poured so far in kg; no settings
 * @unit    as it is told
 * @method  as `pourFlow`
 * @refuses those of `pourFlow`
 * @throws  RangeError for any setting
 * @cost    O(n log n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/pour-more.test.ts
 */
export function pourFlowMeasure(
  id: string,
  unit: string,
  of: (flow: PourFlow) => number,
  plusMinus: number,
): (settings: Readonly<Record<string, number>>) => FeatureExtractor {
  return withoutNumbers({
    id,
    version: 2,
    unit,
    roles: ["mass"],
    roleUnits: { mass: "kg" },
    plusMinus,
    extract(trace) {
      const flow = pourFlow(trace);
      return flow.ok ? ok(of(flow.value)) : flow;
    },
  });
}
