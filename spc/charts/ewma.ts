import type { ChartPoint, Plotted } from "../model/point.ts";
import { judge } from "../model/point.ts";
import type { Stage, Step } from "../model/stage.ts";
import type { EwmaScheme, EwmaState } from "./ewma-state.ts";
import { checkEwma, ewmaHalf, ewmaHeld, ewmaNext, ewmaStart } from "./ewma-state.ts";

/** A point for an EWMA: an average with its subgroup's size, or nothing. */
export interface Weighed extends Plotted {
  /** Values in the subgroup; of no account without a value. */
  readonly size: number;
  /** A cause was found and corrected before this point: what came before no longer counts. */
  readonly corrected?: boolean;
}

/**
 * EWMA: a weighted mean of all points, the newest weighing most, against limits that follow its own variance.
 *
 * @shape   the frozen scheme; averages with their subgroups' sizes in time order, or null with the reason
 * @unit    that of the characteristic
 * @method  Z = lambda x + (1 - lambda) Z from the centre; v = (1 - lambda)^2 v + lambda^2 sigma^2 / n from 0; limits
 *          centre +- width sqrt(v). A missing point holds Z, and the limits stand still; so does a gap. After a
 *          correction all begins anew; without one it never does
 * @throws  RangeError for a scheme that cannot be meant or a value that is no number: a defect in the caller
 * @cost    O(1) a point; remembers four numbers
 * @source  Roberts 1959, Technometrics 1:239-250; Lucas and Saccucci 1990, Technometrics 32:1-12 (both from memory);
 *          NIST/SEMATECH e-Handbook 6.3.2.4
 * @checked tests/reference/spc/time-weighted/nist-ewma.test.ts
 */
export function ewmaStage(scheme: EwmaScheme): Stage<EwmaState, Weighed, ChartPoint> {
  checkEwma(scheme);
  return {
    initial: ewmaStart,
    step(before, { subgroup, value, size, corrected }): Step<EwmaState, ChartPoint> {
      const from = corrected === true ? ewmaStart : before;
      const state = value === null ? ewmaHeld(scheme, from) : ewmaNext(scheme, from, value, size);
      const moved = state.t > from.t;
      const half = moved ? ewmaHalf(scheme, state, size) : null;
      const { centre } = scheme;
      const plotted = moved ? centre + state.off : null;
      const [lower, upper] = half === null ? [null, null] : [centre - half, centre + half];
      const verdict =
        plotted === null || lower === null || upper === null ? "not-evaluable" : judge(plotted, lower, upper);
      return { state, out: [{ subgroup, value: plotted, centre, lower, upper, verdict }] };
    },
  };
}
