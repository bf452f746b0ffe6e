/** Diagonal strokes that fill a rectangle, as one path: the sign for nothing known here. */
export function hatchPath(x0: number, x1: number, y0: number, y1: number, spacing = 6): string {
  const height = y1 - y0;
  let path = "";
  for (let k = Math.ceil((x0 - height) / spacing) * spacing; k < x1; k += spacing) {
    const from = Math.max(k, x0);
    const to = Math.min(k + height, x1);
    if (to <= from) continue;
    path += `M${round(from)},${round(y1 - (from - k))}L${round(to)},${round(y1 - (to - k))}`;
  }
  return path;
}

function round(value: number): string {
  return value.toFixed(1);
}
