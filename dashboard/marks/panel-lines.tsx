import type { JSX } from "preact";

interface DrawnLine {
  readonly y: number;
}

interface LinedPhase {
  /** Stretches of one set that touch each other are drawn as one line with steps, dashed throughout. */
  readonly set: string;
  readonly ruled: boolean;
  readonly from: number;
  readonly to: number;
  readonly centre: DrawnLine | null;
  readonly upper: DrawnLine | null;
  readonly lower: DrawnLine | null;
}

/** What of a panel its lines are drawn from, whichever page it stands on. */
export interface LinedPanel {
  readonly height: number;
  readonly ticks: readonly { readonly y: number; readonly text: string }[];
  readonly phases: readonly LinedPhase[];
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
      {(["centre", "upper", "lower"] as const).flatMap((name) =>
        stepped(panel.phases, name).map(({ ruled, path }) => (
          <path key={`${name} ${path}`} class={lineClass(name, ruled)} d={path} />
        )),
      )}
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

function lineClass(name: "centre" | "upper" | "lower", ruled: boolean): string {
  const kind = name === "centre" ? "centre" : "limit";
  return ruled ? kind : `${kind} before`;
}

function stepped(
  phases: readonly LinedPhase[],
  name: "centre" | "upper" | "lower",
): readonly { readonly ruled: boolean; readonly path: string }[] {
  const out: { ruled: boolean; path: string }[] = [];
  let before: LinedPhase | null = null;
  for (const phase of phases) {
    const line = phase[name];
    if (line !== null) {
      const goesOn =
        before?.set === phase.set && before.ruled === phase.ruled && Math.abs(before.to - phase.from) < 0.01;
      if (goesOn) out[out.length - 1]!.path += `V${line.y}H${phase.to}`;
      else out.push({ ruled: phase.ruled, path: `M${phase.from},${line.y}H${phase.to}` });
    }
    before = line === null ? null : phase;
  }
  return out;
}
