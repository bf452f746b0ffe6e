import type { JSX } from "preact";

interface DrawnLine {
  readonly y: number;
}

/** What of a panel its lines are drawn from, whichever page it stands on. */
export interface LinedPanel {
  readonly height: number;
  readonly ticks: readonly { readonly y: number; readonly text: string }[];
  readonly phases: readonly {
    readonly ruled: boolean;
    readonly from: number;
    readonly to: number;
    readonly centre: DrawnLine | null;
    readonly upper: DrawnLine | null;
    readonly lower: DrawnLine | null;
  }[];
  readonly specification: readonly {
    readonly y: number;
    readonly text: string;
    readonly beyond: "above" | "below" | null;
  }[];
}

/** Ticks, limits and centre where each limit set ruled, and the specification: what lies under a panel's points. */
export function PanelLines({ panel, width }: { readonly panel: LinedPanel; readonly width: number }): JSX.Element {
  return (
    <>
      {panel.ticks.map((tick) => (
        <text key={tick.text} class="tick" x="-10" y={tick.y + 4} text-anchor="end">
          {tick.text}
        </text>
      ))}
      {panel.phases.map((phase) => (
        <g key={`${phase.from} ${phase.to}`}>
          {phase.centre === null ? null : (
            <path class={phase.ruled ? "centre" : "centre before"} d={`M${phase.from},${phase.centre.y}H${phase.to}`} />
          )}
          {[phase.upper, phase.lower].map((line) =>
            line === null ? null : (
              <path
                key={line.y}
                class={phase.ruled ? "limit" : "limit before"}
                d={`M${phase.from},${line.y}H${phase.to}`}
              />
            ),
          )}
        </g>
      ))}
      {panel.specification.map((line) => (
        <g key={line.text} class="specification">
          {line.beyond === null ? <path d={`M0,${line.y}H${width}`} /> : null}
          <text x="6" y={line.beyond === "below" ? panel.height - 6 : line.beyond === "above" ? 12 : line.y - 5}>
            {line.beyond === null ? line.text : `${line.text}, ${line.beyond} this picture`}
          </text>
        </g>
      ))}
    </>
  );
}
