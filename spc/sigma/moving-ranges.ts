/**
 * Moving ranges: how far apart neighbouring points lie, none of them bridging a gap.
 *
 * @shape   plotted points, NaN where there is none; places before which memory ends, ascending; a span of two or more
 * @unit    that of the characteristic
 * @method  largest less smallest of the last `span` points; none where fewer stand before it, where one of them is
 *          missing, or where memory ends between them
 * @throws  RangeError for a span that is no whole number of two or more: a defect in the caller
 * @cost    O(m span)
 * @source  NIST/SEMATECH e-Handbook 6.3.2.2; treatment of gaps: common practice, no source
 * @checked tests/unit/spc/sigma/moving-ranges.test.ts
 */
export function movingRangesOf(points: Float64Array, anew: readonly number[], span = 2): Float64Array {
  if (!Number.isInteger(span) || span < 2) throw new RangeError(`a moving range spans two or more, got ${span}`);
  const ranges = new Float64Array(points.length).fill(Number.NaN);
  // First place of the unbroken run of points that the place belongs to.
  let begun = 0;
  let next = 0;
  for (let i = 0; i < points.length; i += 1) {
    while (next < anew.length && anew[next]! <= i) {
      begun = Math.max(begun, anew[next]!);
      next += 1;
    }
    if (Number.isNaN(points[i]!)) {
      begun = i + 1;
      continue;
    }
    if (i - begun + 1 < span) continue;
    ranges[i] = span === 2 ? Math.abs(points[i]! - points[i - 1]!) : widest(points, i - span + 1, i + 1);
  }
  return ranges;
}

function widest(points: Float64Array, from: number, to: number): number {
  let least = points[from]!;
  let most = least;
  for (let i = from + 1; i < to; i += 1) {
    least = Math.min(least, points[i]!);
    most = Math.max(most, points[i]!);
  }
  return most - least;
}
