/** Below this many values limits and indices are provisional: one chart in four still signals twice as often as it should. */
export const SETTLED_VALUES = 100;
/** Fewer distinct values, or moving ranges inside their limits, and the instrument is too coarse; AIAG MSA 4th ed. (from memory). */
export const LEAST_DISTINCT = 5;
/** Overall to within sigma above which structure remains; common practice, no source. */
export const MOST_OVERALL_TO_WITHIN = 1.2;
/** Skewness of an exponential is 2; at 1 the long tail signals some five times too often; common practice, no source. */
export const MOST_SKEWNESS = 1;
/** Excess kurtosis of a baseline outside of which, from so many values on, its tails are no normal's: chance alone puts one baseline in a hundred there; from tables of kurtosis, from memory. */
export const NORMAL_EXCESS: readonly [number, number] = [-0.7, 1.2];
export const LEAST_FOR_EXCESS = 200;
/** Lag 1 up to which the chance rate of limits is told; our own study. */
export const MOST_PRICED_LAG1 = 0.45;
