import type { ChartDesign } from "../model/chart-design.ts";

/**
 * Check of a design: whether what a chart is told can be meant.
 *
 * @shape   a design, and how many places are plotted
 * @unit    centre and sigma that of the characteristic
 * @throws  RangeError for a baseline outside the places, a k that is not above zero, a centre or sigma that is no
 *          number, or a sigma that is not above zero: a defect in the caller
 * @source  derived here
 * @checked tests/unit/spc/sigma/location.test.ts
 */
export function checkDesign({ baseline, k, centre, sigma }: ChartDesign, length: number): void {
  const { from, to } = baseline;
  if (!(Number.isInteger(from) && Number.isInteger(to) && 0 <= from && from <= to && to <= length)) {
    throw new RangeError(`a baseline needs places within 0 to ${length}, got ${from} to ${to}`);
  }
  if (!(k > 0 && Number.isFinite(k))) throw new RangeError(`limits need a half-width above zero, got ${k} sigma`);
  if (centre !== null && !Number.isFinite(centre)) throw new RangeError(`a given centre is a number, got ${centre}`);
  if (sigma !== null && !(sigma > 0 && Number.isFinite(sigma))) {
    throw new RangeError(`a given sigma lies above zero, got ${sigma}`);
  }
}
