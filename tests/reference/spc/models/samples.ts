/** Constructed magnitudes with a longer tail upwards. */
export const magnitudes: readonly number[] = [
  2.31, 1.07, 3.92, 0.85, 1.64, 2.77, 5.13, 1.48, 0.62, 2.05, 3.31, 1.19, 7.44, 0.93, 2.58, 1.86, 4.27, 1.33, 0.71,
  2.94, 1.75, 3.6, 1.02, 2.2, 6.08, 1.57, 0.79, 2.43, 1.91, 3.05,
];

/** Constructed deviations that lost their sign. */
export const deviations: readonly number[] = [
  0.3, 0.5, 1.2, 0.8, 0.1, 2.1, 1.7, 0.4, 0.9, 1.1, 0.6, 1.9, 0.2, 0.3, 1.4, 0.7, 2.6, 0.05, 1, 1.3, 1.6, 0.95, 1.15,
  0.85, 1.45, 1.25,
];
