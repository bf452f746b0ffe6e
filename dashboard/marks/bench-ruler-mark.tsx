import type { JSX } from "preact";
import { ruler, type Span, spanOf } from "../model/ruler.ts";

const width = 66;
const height = 24;

/** The one ruler, small, beside a chart's name: its newest values, the limits at 20 % and 80 % of the height. */
export function BenchRulerMark(props: {
  readonly values: readonly (number | null)[];
  readonly limits: Span | null;
}): JSX.Element {
  const { values, limits } = props;
  const scale = ruler(limits ?? spanOf(values) ?? { lower: 0, upper: 0 }, height);
  const step = width / Math.max(1, values.length - 1);
  let path = "";
  values.forEach((value, index) => {
    if (value === null) return;
    const joined = index > 0 && values[index - 1] !== null;
    path += `${joined ? "L" : "M"}${(index * step).toFixed(1)},${scale.y(value).toFixed(1)}`;
  });
  return (
    <svg class="bench-ruler" width={width} height={height} viewBox={`0 0 ${width} ${height}`} aria-hidden="true">
      {limits === null ? null : (
        <path class="limit" d={`M0,${scale.y(limits.upper)}H${width}M0,${scale.y(limits.lower)}H${width}`} />
      )}
      <path class="data" d={path} />
    </svg>
  );
}
