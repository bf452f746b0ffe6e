import { batchSizeFor, decorrelationSpacing } from "./ar1-batches.ts";

/** What is known of a series when a chart is chosen for it. */
export interface DependenceSeen {
  /** Lag-1 autocorrelation, and whether it lies outside the band of chance. */
  readonly lag1: number;
  readonly significant: boolean;
  /** A change-point test finds a step: the level moved, which looks like dependence and is none. */
  readonly step: boolean;
  /** Readings come faster than the process can change; null where nobody has said. */
  readonly fasterThanProcess: boolean | null;
  /** A known cycle: shift, day, ladle. */
  readonly season: boolean;
}

/** One way to chart such a series. */
export interface ChartingWay {
  readonly way:
    | "ordinary"
    | "split-at-step"
    | "remove-season"
    | "batch-means"
    | "residual"
    | "overall-sigma"
    | "control-action";
  /** Plain words without a full stop. */
  readonly words: string;
}

/** Beyond this an individuals chart of the value itself says nothing. */
const DRIFTING = 0.9;
/** Beyond this a residual chart hardly sees a shift that stays. */
const INSENSITIVE = 0.5;

/**
 * Ways to chart dependent points, the most fitting first.
 *
 * @shape   what was seen of the series
 * @unit    lag1 dimensionless
 * @method  not significant: as usual. Else a step is split off first, a season taken out first; then batch means where
 *          readings outrun the process, residuals, and limits from the overall sigma; beyond 0.9 the control action
 * @throws  RangeError for a lag-1 autocorrelation that is no number: a defect in the caller
 * @cost    O(1)
 * @source  Alwan and Roberts 1988; Runger and Willemain 1996 (both from memory); order: common practice, no source
 * @checked tests/unit/spc/time-weighted/ar1.test.ts
 */
export function autocorrelationDecision(seen: DependenceSeen): readonly ChartingWay[] {
  const { lag1, significant, step, fasterThanProcess, season } = seen;
  if (!Number.isFinite(lag1)) throw new RangeError(`a lag-1 autocorrelation is a number, got ${lag1}`);
  if (!significant) return [{ way: "ordinary", words: "neighbours do not depend on each other: chart as usual" }];
  if (step) {
    const words = "the level moved once: split the baseline there before anything is said of dependence";
    return [{ way: "split-at-step", words }];
  }
  const ways: ChartingWay[] = [];
  if (season) ways.push({ way: "remove-season", words: "take the known cycle out first, then look again" });
  if (lag1 < 0) {
    const words = "neighbours lie on opposite sides: look for over-adjustment or two streams in turn";
    return [...ways, { way: "control-action", words }];
  }
  if (lag1 > DRIFTING) {
    const words = "values drift more than they vary: chart the control action or the step from one to the next";
    return [...ways, { way: "control-action", words }, residual(lag1)];
  }
  const both = [residual(lag1), overall];
  return [...ways, ...(fasterThanProcess === false ? both : [batches(lag1), ...both])];
}

function batches(lag1: number): ChartingWay {
  const [b, apart] = [batchSizeFor(lag1), decorrelationSpacing(lag1)];
  return {
    way: "batch-means",
    words: `if readings come faster than the process changes: means of ${b}, or one value in ${apart}`,
  };
}

function residual(lag1: number): ChartingWay {
  const weak = lag1 > INSENSITIVE ? "; a shift that stays shows little there, so put an EWMA beside it" : "";
  return { way: "residual", words: `chart what the value before does not explain${weak}` };
}

const overall: ChartingWay = {
  way: "overall-sigma",
  words: "limits from the overall sigma, if the baseline was stable; run rules open no flag there",
};
