/** Waits that double from the first to the longest, each shortened at random by up to a quarter, so that not all come at once. */
export interface GrowingWait {
  /** Milliseconds to wait now. */
  next(): number;
  reset(): void;
}

export function growingWait(firstMs: number, longestMs: number, random: () => number = Math.random): GrowingWait {
  let ms = firstMs;
  return {
    next: () => {
      const now = ms;
      ms = Math.min(2 * ms, longestMs);
      return now * (1 - random() / 4);
    },
    reset: () => {
      ms = firstMs;
    },
  };
}
