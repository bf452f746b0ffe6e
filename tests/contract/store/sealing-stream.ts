/** Times of what commit `n` brings: four thousand new readings, and some between those of the three commits before. */
export function timesOf(n: number): readonly number[] {
  const count = 4_000;
  const fresh = Array.from({ length: count }, (_, i) => 100 * (n * count + i));
  const late = Array.from({ length: 200 }, (_, i) => 100 * ((n - 3) * count + 60 * i) + 50);
  return [...fresh, ...late.filter((tMs) => tMs > 0)];
}

/** Follows from the time alone, so that whatever is read can be held against what was sent. */
export function sealedValue(tMs: number): number {
  return Math.round(900 + 40 * Math.sin(tMs / 977)) / 1000;
}
