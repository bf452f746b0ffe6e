import type { JSX } from "preact";
import type { RunPanels, TracePanel } from "../model/run-sheet.ts";

const left = 54;
const right = 8;
/** Room beside the drawing that a trace panel needs for its numbers. */
export const traceMargin: number = left + right;

/** Segments of the run on top, as bars over the common time axis. */
export function SegmentsMark({ panels }: { readonly panels: RunPanels }): JSX.Element {
  const width = panels.width + traceMargin;
  // A name is written where its bar has room for it, and otherwise in the list of parts below.
  return (
    <svg class="segments" width={width} height="34" viewBox={`0 0 ${width} 34`} aria-hidden="true">
      <g transform={`translate(${left},0)`}>
        {panels.segments.map((one, index) => (
          <g key={`${one.name}${one.from}`}>
            <path
              class={index % 2 === 0 ? "bar" : "bar thick"}
              d={`M${one.from + 1},26H${Math.max(one.from + 2, one.to - 1)}`}
            />
            {one.to - one.from > one.name.length * 6.2 ? (
              <text x={(one.from + one.to) / 2} y="14" text-anchor="middle">
                {one.name}
              </text>
            ) : null}
          </g>
        ))}
      </g>
    </svg>
  );
}

/** One trace over the runs before it. */
export function TraceMark({ panel, panels }: { readonly panel: TracePanel; readonly panels: RunPanels }): JSX.Element {
  const width = panels.width + traceMargin;
  return (
    <svg class="trace" width={width} height={panel.height} viewBox={`0 0 ${width} ${panel.height}`} aria-hidden="true">
      <g transform={`translate(${left},0)`}>
        {panel.ticks.map((tick) => (
          <g key={tick.text}>
            <path class="grid" d={`M0,${tick.y}H${panels.width}`} />
            <text class="tick" x="-8" y={tick.y + 4} text-anchor="end">
              {tick.text}
            </text>
          </g>
        ))}
        <path class="before" d={panel.before.join("")} />
        <path class="before lone" d={panel.loneBefore} />
        <path class="now" d={panel.path} />
        <path class="now lone" d={panel.lone} />
        <text class="title" x="8" y="14">
          <tspan class="name">{panel.name}</tspan>
          <tspan class="unit" dx="8">
            {panel.note ?? panel.unit}
          </tspan>
        </text>
      </g>
    </svg>
  );
}

export function TimeAxisMark({ panels }: { readonly panels: RunPanels }): JSX.Element {
  const width = panels.width + traceMargin;
  return (
    <svg class="trace" width={width} height="22" viewBox={`0 0 ${width} 22`} aria-hidden="true">
      <g transform={`translate(${left},0)`}>
        {panels.ticks.map((tick) => (
          <text key={tick.text} class="tick" x={tick.x} y="14" text-anchor={tick.x === 0 ? "start" : "middle"}>
            {tick.text}
          </text>
        ))}
      </g>
    </svg>
  );
}
