/** Below this many values limits and indices are provisional: one chart in four still signals twice as often as it should. */
export const SETTLED_VALUES = 100;
/** Fewer distinct values, or moving ranges inside their limits, and the instrument is too coarse; AIAG MSA 4th ed. (from memory). */
export const LEAST_DISTINCT = 5;
/** Overall to within sigma above which structure remains; common practice, no source. */
export const MOST_OVERALL_TO_WITHIN = 1.2;
/** Skewness of an exponential is 2; at 1 the long tail signals some five times too often; common practice, no source. */
export const MOST_SKEWNESS = 1;
