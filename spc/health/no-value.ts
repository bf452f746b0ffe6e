import type { Sample } from "../model/sample.ts";
import { nothing, type Stage } from "../model/stage.ts";
import type { HealthCheck } from "./finding.ts";
import { span } from "./shown-words.ts";
import type { SinceFinding } from "./stuck.ts";

/** How the value reaches the gateway: it says what a reading without a value means. */
export type Wiring = "thermocouple" | "loop" | "other";

/** Plain JSON. */
export interface NoValueState {
  readonly sinceMs: number;
  readonly count: number;
  readonly told: boolean;
}

/** One refused reading is nothing; that many in a row, over that long, are a wire. Common practice, no source. */
const leastReadings = 3;
const leastMs = 5_000;

/**
 * Open thermocouple, loop fault, or no value: readings come, and the gateway vouches for none. A card gives no number for
 * an open thermocouple, nor for a loop at 3.6 mA or below or at 21 mA or above.
 *
 * @shape   samples in time order, bad ones among them
 * @unit    none
 * @method  three or more in a row without a value or of quality bad, over 5 s or more; the first good one ends it. Good
 *          readings are never called so
 * @cost    O(1) a sample
 * @source  NAMUR NE 43 for loops, borders as public pages print them; three and 5 s: common practice, no source
 * @checked tests/unit/spc/health/streams.test.ts, tests/reference/spc/health/loop-borders.test.ts
 */
export function noValueWatch(
  wiring: Wiring,
): Stage<NoValueState, Pick<Sample, "tMs" | "value" | "quality">, SinceFinding> {
  const check = checkOf[wiring];
  return {
    initial: { sinceMs: 0, count: 0, told: false },
    step: (state, { tMs, value, quality }) => {
      if (value !== null && quality !== "bad") {
        if (state.count === 0) return { state, out: nothing };
        const well: SinceFinding = { sinceMs: tMs, finding: { check, verdict: "well", says: "it gives values again" } };
        return { state: { sinceMs: tMs, count: 0, told: false }, out: state.told ? [well] : [] };
      }
      const sinceMs = state.count === 0 ? tMs : state.sinceMs;
      const count = state.count + 1;
      if (state.told || count < leastReadings || tMs - sinceMs < leastMs) {
        return { state: { ...state, sinceMs, count }, out: [] };
      }
      const says = `gave no value ${count} times in a row over ${span(tMs - sinceMs)}: ${because[wiring]}`;
      return {
        state: { sinceMs, count, told: true },
        out: [{ sinceMs, finding: { check, verdict: "fault", says } }],
      };
    },
  };
}

const checkOf: Readonly<Record<Wiring, HealthCheck>> = {
  thermocouple: "open-circuit",
  loop: "loop-fault",
  other: "no-value",
};

const because: Readonly<Record<Wiring, string>> = {
  thermocouple: "the thermocouple or its cable is open, or its card says so",
  loop: "its loop is at 3.6 mA or below, or at 21 mA or above, which is a fault and no value",
  other: "the instrument or its gateway does not vouch for it",
};
