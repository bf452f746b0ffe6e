import type { JSX } from "preact";
import type { ChartPicture } from "./picture.ts";

export interface NamedPicture {
  readonly picture: ChartPicture;
  readonly name: string;
}

const top = 30;
const between = 60;
const foot = 30;

export interface Margins {
  readonly left: number;
  readonly right: number;
}

/** The charts of a study, location above and spread below, over one axis of points. `style` makes it stand alone. */
export function DrawnChartsMark(props: {
  readonly charts: readonly NamedPicture[];
  readonly margins: Margins;
  readonly says: string;
  readonly style?: string;
}): JSX.Element {
  const { charts, margins } = props;
  const width = (charts[0]?.picture.width ?? 0) + margins.left + margins.right;
  const tops = charts.map(
    (_, at) => top + charts.slice(0, at).reduce((sum, one) => sum + one.picture.height + between, 0),
  );
  const height = (tops.at(-1) ?? 0) + (charts.at(-1)?.picture.height ?? 0) + foot;
  return (
    <svg
      xmlns="http://www.w3.org/2000/svg"
      class="drawn-charts"
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={props.says}
    >
      {props.style === undefined ? null : (
        <>
          <style>{props.style}</style>
          <rect class="panel" width={width} height={height} />
        </>
      )}
      {charts.map((chart, at) => (
        <g key={chart.name} transform={`translate(${margins.left},${tops[at]!})`}>
          <ChartPanel chart={chart} left={margins.left} wordy={margins.right > 80} />
        </g>
      ))}
    </svg>
  );
}

function ChartPanel(props: {
  readonly chart: NamedPicture;
  readonly left: number;
  readonly wordy: boolean;
}): JSX.Element {
  const { picture, name } = props.chart;
  const { width, height } = picture;
  return (
    <>
      <text class="name" x={-props.left + 4} y="-12">
        {name}
      </text>
      {picture.ticks.map((tick) => (
        <g key={tick.text}>
          <path class="hair" d={`M0,${tick.y.toFixed(1)}H${width}`} />
          <text class="tick" x="-8" y={(tick.y + 4).toFixed(1)} text-anchor="end">
            {tick.text}
          </text>
        </g>
      ))}
      <Path of="gap" d={picture.gaps} />
      <Path of="centre" d={picture.centre} />
      <Path of="limit" d={picture.upper + picture.lower} />
      <Path of="extremes" d={picture.extremes} />
      <Path of="data" d={picture.path} />
      {picture.dots.map((dot) => (
        <circle key={dot.x} class="dot" cx={dot.x.toFixed(1)} cy={dot.y.toFixed(1)} r="2" />
      ))}
      {picture.marks.map((mark) => (
        <g key={`${mark.x} ${mark.y}`} class={mark.out ? "mark out" : "mark"}>
          <circle cx={mark.x.toFixed(1)} cy={mark.y.toFixed(1)} r="5.5" />
          <circle class="core" cx={mark.x.toFixed(1)} cy={mark.y.toFixed(1)} r={mark.out ? "3" : "1.8"} />
        </g>
      ))}
      {spread(picture.edges).map((edge) => (
        <text key={edge.word} class="edge" x={width + 6} y={edge.y + 4}>
          <tspan class="number">{edge.text}</tspan>
          {props.wordy ? <tspan dx="5">{edge.word}</tspan> : null}
        </text>
      ))}
      {picture.places.map((place) => (
        <text key={place.text} class="tick" x={place.x.toFixed(1)} y={height + 16} text-anchor="middle">
          {place.text}
        </text>
      ))}
    </>
  );
}

/** A path, and nothing where it would be empty: an attribute without a value is no XML. */
function Path(props: { readonly of: string; readonly d: string }): JSX.Element | null {
  return props.d === "" ? null : <path class={props.of} d={props.d} />;
}

/** Numbers at the edge, from above, moved apart so that none lies over another. */
function spread(edges: ChartPicture["edges"]): ChartPicture["edges"] {
  let above = Number.NEGATIVE_INFINITY;
  return [...edges]
    .sort((a, b) => a.y - b.y)
    .map((edge) => {
      above = Math.max(edge.y, above + 14);
      return { ...edge, y: Math.round(above * 10) / 10 };
    });
}
