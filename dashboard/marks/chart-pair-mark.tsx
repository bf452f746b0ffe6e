import type { JSX } from "preact";
import type { ChartDot, ChartPair, ChartPanel, ChartPhase } from "../model/chart-pair.ts";
import { hatchPath } from "./hatch.ts";
import { PanelLines } from "./panel-lines.tsx";
import { Ring } from "./ring.tsx";

export interface LimitSetText {
  readonly title: string;
  /** For where there is no room for the whole. */
  readonly short: string;
  readonly date: string;
}

export interface ChartPairText {
  readonly unit: string;
  /** What the lower panel shows, in full and where there is little room. */
  readonly spread: readonly [string, string];
  /** What each limit set says of itself, by id. */
  readonly sets: ReadonlyMap<string, LimitSetText>;
  readonly times: readonly { readonly index: number; readonly text: string }[];
}

const top = 34;
const between = 34;
const foot = 26;

export interface ChartMargins {
  readonly left: number;
  readonly right: number;
}

export function chartPairHeight(pair: ChartPair): number {
  return top + pair.location.height + between + pair.spread.height + foot;
}

/** The pair: location above, spread below, one axis of runs in order. */
export function ChartPairMark(props: {
  readonly pair: ChartPair;
  readonly text: ChartPairText;
  readonly margins: ChartMargins;
  readonly selected: number | null;
}): JSX.Element {
  const { pair, text, margins, selected } = props;
  const width = pair.width + margins.left + margins.right;
  const height = chartPairHeight(pair);
  const spreadTop = top + pair.location.height + between;
  const many = pair.location.dots.length > 260;
  const picked = selected === null ? null : pair.x(selected);
  return (
    <svg class="chart-pair" width={width} height={height} viewBox={`0 0 ${width} ${height}`} aria-hidden="true">
      <g transform={`translate(${margins.left},${top})`}>
        <Gaps pair={pair} height={pair.location.height} words />
        {picked === null ? null : <path class="picked" d={`M${picked},0V${pair.location.height}`} />}
        <Panel panel={pair.location} width={pair.width} many={many} words={margins.right > 60} sets={text.sets} />
        {pair.location.phases
          .filter(
            (phase, at, all) =>
              phase.ruled && !(all[at - 1]?.ruled === true && all[at - 1]?.limitSet === phase.limitSet),
          )
          .map((phase) => (
            <PhaseRule key={phase.limitSet} phase={phase} pair={pair} set={text.sets.get(phase.limitSet)} />
          ))}
        {pair.brackets.map((one) => (
          <g key={one.from} class="bracket">
            <path
              d={`M${one.from},${one.y + (one.below ? -5 : 5)}V${one.y}H${one.to}V${one.y + (one.below ? -5 : 5)}`}
            />
            <text
              x={one.to > pair.width * 0.8 ? one.to : one.from}
              y={one.y + (one.below ? 15 : -6)}
              text-anchor={one.to > pair.width * 0.8 ? "end" : "start"}
            >
              {one.text}
            </text>
          </g>
        ))}
        <text class="unit" x={-margins.left + 2} y="-8">
          {text.unit}
        </text>
      </g>
      <g transform={`translate(${margins.left},${spreadTop})`}>
        <Gaps pair={pair} height={pair.spread.height} words={false} />
        {picked === null ? null : <path class="picked" d={`M${picked},0V${pair.spread.height}`} />}
        <text class="panel-name" x="0" y="-10">
          {pair.width > 330 ? text.spread[0] : text.spread[1]}
        </text>
        <Panel panel={pair.spread} width={pair.width} many={many} words={margins.right > 60} sets={text.sets} />
        {text.times.map((time) => (
          <text
            key={time.index}
            class="tick"
            x={pair.x(time.index)}
            y={pair.spread.height + 18}
            text-anchor={pair.x(time.index) > pair.width - 30 ? "end" : pair.x(time.index) < 30 ? "start" : "middle"}
          >
            {time.text}
          </text>
        ))}
      </g>
    </svg>
  );
}

/** Width of a letter of the smallest text. */
const letter = 5.6;

/** The upright line where a limit set begins to rule, and its name on the side that has room. */
function PhaseRule(props: {
  readonly phase: ChartPhase;
  readonly pair: ChartPair;
  readonly set: LimitSetText | undefined;
}): JSX.Element {
  const { phase, pair } = props;
  const { title, short } = props.set ?? { title: phase.limitSet, short: phase.limitSet };
  const from = Math.max(0, phase.from);
  const right = pair.width - from;
  const words = Math.max(right, from) > title.length * letter ? title : short;
  const leftwards = right < words.length * letter && from > right;
  return (
    <g>
      <path class="phase" d={`M${phase.from},-26V${pair.location.height}`} />
      <text class="phase-title" x={leftwards ? from - 5 : from + 5} y="-16" text-anchor={leftwards ? "end" : "start"}>
        {words}
      </text>
    </g>
  );
}

function Gaps(props: { readonly pair: ChartPair; readonly height: number; readonly words: boolean }): JSX.Element {
  return (
    <>
      {props.pair.gaps.map((gap) => (
        <g key={gap.from}>
          <path class="hatch" d={hatchPath(gap.from, gap.to, 0, props.height)} />
          {props.words && gap.says ? (
            <text class="gap" x={(gap.from + gap.to) / 2} y={props.height - 6} text-anchor="middle">
              {gap.reason}
            </text>
          ) : null}
        </g>
      ))}
    </>
  );
}

function Panel(props: {
  readonly panel: ChartPanel;
  readonly width: number;
  readonly many: boolean;
  readonly words: boolean;
  readonly sets: ChartPairText["sets"];
}): JSX.Element {
  const { panel, width, many } = props;
  // A place where an EWMA is held has no limits of its own: the labels are those of the newest that have.
  const last = panel.phases.findLast((phase) => phase.upper !== null) ?? panel.phases.at(-1);
  const set = last === undefined ? undefined : props.sets.get(last.limitSet);
  return (
    <>
      <PanelLines panel={panel} width={width} />
      <path class="data" d={panel.path} />
      {panel.dots
        .filter((dot) => dot.ring !== null || !many || dot.beyond)
        .map((dot) => (
          <Dot key={dot.run} dot={dot} height={panel.height} small={panel.height < 200} />
        ))}
      {last === undefined ? null : (
        <>
          <EdgeLabel
            line={last.upper}
            word={props.words ? "high limit" : ""}
            width={width}
            date={props.words ? set?.date : undefined}
          />
          <EdgeLabel line={last.centre} word={props.words ? "centre" : ""} width={width} date={undefined} />
          <EdgeLabel
            line={last.lower}
            word={props.words ? "low limit" : ""}
            width={width}
            date={props.words ? set?.date : undefined}
          />
        </>
      )}
    </>
  );
}

function Dot(props: { readonly dot: ChartDot; readonly height: number; readonly small: boolean }): JSX.Element {
  const { dot, height } = props;
  const high = dot.y < height / 2;
  return (
    <g>
      {dot.ring === null ? (
        <circle
          class={dot.imported ? "dot imported" : dot.used ? "dot used" : "dot"}
          cx={dot.x}
          cy={dot.y}
          r={dot.imported ? 1.9 : 2.4}
        />
      ) : (
        <Ring x={dot.x} y={dot.y} r={6} label={dot.ring.label} />
      )}
      {dot.ring?.number == null ? null : (
        <text class="flag-number" x={dot.ring.number.x} y={dot.ring.number.y} text-anchor="end">
          {dot.ring.number.text}
        </text>
      )}
      {dot.printed ? (
        <text class="beyond" x={dot.x} y={high ? -9 : height + 18} text-anchor="middle">
          {dot.text}
        </text>
      ) : null}
    </g>
  );
}

function EdgeLabel(props: {
  readonly line: { readonly y: number; readonly text: string } | null;
  readonly word: string;
  readonly width: number;
  readonly date: string | undefined;
}): JSX.Element | null {
  if (props.line === null) return null;
  return (
    <text class="edge" x={props.width + 14} y={props.line.y + 4}>
      <tspan class="number">{props.line.text}</tspan>
      <tspan class="word" dx="5">
        {props.word}
      </tspan>
      {props.date === undefined ? null : (
        <tspan class="word" x={props.width + 14} dy="14">
          {props.date}
        </tspan>
      )}
    </text>
  );
}
