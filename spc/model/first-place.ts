/** First place from `low` on and before `high` of which `before` does not hold, or `high`; it must hold up to there and no further. */
export function firstPlace(low: number, high: number, before: (place: number) => boolean): number {
  let [from, to] = [low, high];
  while (from < to) {
    const middle = (from + to) >> 1;
    if (before(middle)) from = middle + 1;
    else to = middle;
  }
  return from;
}
