import type { JSX } from "preact";
import { type BenchDot, type BenchPair, type BenchPanel, type BenchPhase, letterWidth } from "../model/bench-pair.ts";
import { hatchPath } from "./hatch.ts";
import { PanelLines } from "./panel-lines.tsx";
import { Ring } from "./ring.tsx";

export interface BenchPairText {
  readonly unit: string;
  readonly spread: string;
  readonly times: readonly { readonly index: number; readonly text: string }[];
  /** For those who open the saved picture. */
  readonly title: string;
}

export interface BenchMargins {
  readonly left: number;
  readonly right: number;
}

const tagRoom = 44;
const foot = 24;

export function benchPairHeight(pair: BenchPair): number {
  return top(pair) + pair.location.height + between(pair) + pair.spread.height + foot;
}

/** Where several sets begin their names stand in two lines by turns, so that they do not cover each other. */
function top(pair: BenchPair): number {
  return pair.location.phases.filter(({ title }) => title !== null).length > 1 ? 54 : 40;
}

function between(pair: BenchPair): number {
  return (pair.tags.length > 0 ? tagRoom : 20) + 26;
}

/** The pair: location above, spread below, one axis of runs in order. */
export function BenchPairMark(props: {
  readonly pair: BenchPair;
  readonly text: BenchPairText;
  readonly margins: BenchMargins;
  readonly selected: number | null;
}): JSX.Element {
  const { pair, text, margins, selected } = props;
  const width = pair.width + margins.left + margins.right;
  const height = benchPairHeight(pair);
  const tall = pair.location.height;
  const picked = selected === null ? null : pair.x(selected);
  const words = margins.right > 60;
  return (
    <svg
      class="chart-pair bench-pair"
      xmlns="http://www.w3.org/2000/svg"
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      aria-hidden="true"
    >
      <title>{text.title}</title>
      <g transform={`translate(${margins.left},${top(pair)})`}>
        <Gaps pair={pair} height={tall} words />
        <Window pair={pair} height={tall} />
        {picked === null ? null : <path class="picked" d={`M${picked},0V${tall}`} />}
        <path class="axis" d={`M0,${tall}H${pair.width}`} />
        <Panel panel={pair.location} width={pair.width} words={words} />
        {pair.location.phases
          .filter(({ title }) => title !== null)
          .map((phase, at) => (
            <PhaseRule key={phase.key} phase={phase} pair={pair} y={at % 2 === 0 ? -22 : -36} />
          ))}
        <Change pair={pair} height={tall} left={margins.left} />
        {pair.tags.map((tag) => (
          <g key={`${tag.number} ${tag.x}`} class="tag" data-tag={tag.number}>
            <path d={`M${tag.x},${tall}V${tall + 6 + tag.drop * 19}`} />
            <rect x={tag.x - 10} y={tall + 6 + tag.drop * 19} width="20" height="17" />
            <text x={tag.x} y={tall + 19 + tag.drop * 19} text-anchor="middle">
              {tag.number}
            </text>
          </g>
        ))}
        <text class="unit" x={-margins.left + 2} y="-8">
          {text.unit}
        </text>
      </g>
      <g transform={`translate(${margins.left},${top(pair) + tall + between(pair)})`}>
        <Gaps pair={pair} height={pair.spread.height} words={false} />
        <Window pair={pair} height={pair.spread.height} />
        {picked === null ? null : <path class="picked" d={`M${picked},0V${pair.spread.height}`} />}
        <text class="panel-name" x="0" y="-8">
          {text.spread}
        </text>
        <Panel panel={pair.spread} width={pair.width} words={words} />
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

/** The upright line where a limit set begins to rule, and its name on the side that has room. */
function PhaseRule(props: {
  readonly phase: BenchPhase;
  readonly pair: BenchPair;
  readonly y: number;
}): JSX.Element | null {
  const { phase, pair, y } = props;
  if (phase.title === null) return null;
  const from = Math.max(0, phase.from);
  // The next set but one has its name in the same line.
  const later = pair.location.phases.filter((one) => one.title !== null && one.from > phase.from);
  const right = (later[1]?.from ?? pair.width) - from;
  const room = Math.max(right, later.length < 2 ? from : 0);
  const words = room > phase.title.length * letterWidth ? phase.title : (phase.short ?? phase.title);
  const leftwards = right < words.length * letterWidth && from > right;
  return (
    <g data-phase={phase.key}>
      <path class="phase" d={`M${phase.from},${y - 8}V${pair.location.height}`} />
      <text class="phase-title" x={leftwards ? from - 5 : from + 5} y={y} text-anchor={leftwards ? "end" : "start"}>
        {words}
      </text>
    </g>
  );
}

/** Where the change began, dotted, with the runs that it may be as a double line on the axis. */
function Change(props: {
  readonly pair: BenchPair;
  readonly height: number;
  readonly left: number;
}): JSX.Element | null {
  const { pair, height } = props;
  const { change } = pair;
  if (change === null) return null;
  const long = change.text.length * letterWidth;
  const leftwards = change.x > pair.width / 2;
  // Where neither side has room the words begin at the picture's edge.
  const fits = leftwards ? long < change.x + props.left : long < pair.width - change.x + props.left;
  const x = fits ? change.x + (leftwards ? -5 : 5) : 20 - props.left;
  return (
    <g class="change" data-change>
      <path class="began" d={`M${change.x},-4V${height}`} />
      <path class="set" d={`M${change.from},${height - 2}H${change.to}M${change.from},${height + 2}H${change.to}`} />
      <text x={x} y="-6" text-anchor={fits && leftwards ? "end" : "start"}>
        {change.text}
      </text>
    </g>
  );
}

function Window({ pair, height }: { readonly pair: BenchPair; readonly height: number }): JSX.Element | null {
  const { window } = pair;
  if (window === null) return null;
  return (
    <rect
      class="window"
      x={window.from}
      y="0"
      width={Math.max(1, window.to - window.from)}
      height={height}
      data-window
    />
  );
}

function Gaps(props: { readonly pair: BenchPair; readonly height: number; readonly words: boolean }): JSX.Element {
  return (
    <>
      {props.pair.gaps.map((gap) => (
        <g key={gap.from} data-gap>
          <path class="hatch" d={hatchPath(gap.from, gap.to, 0, props.height)} />
          {props.words && gap.says ? (
            <text class="gap" x={(gap.from + gap.to) / 2} y={props.height - 6} text-anchor="middle">
              {gap.text}
            </text>
          ) : null}
        </g>
      ))}
    </>
  );
}

function Panel(props: { readonly panel: BenchPanel; readonly width: number; readonly words: boolean }): JSX.Element {
  const { panel, width } = props;
  const last = panel.phases.at(-1);
  const many = panel.dots.length > 260;
  return (
    <g data-panel={panel.name}>
      <PanelLines panel={panel} width={width} />
      <path class="data" d={panel.path} />
      {panel.brackets.map((one) => {
        const end = one.to > width * 0.75;
        const tick = one.below ? -5 : 5;
        return (
          <g key={`${one.from} ${one.to} ${one.text}`} class="bracket" data-bracket>
            <path d={`M${one.from},${one.y + tick}V${one.y}H${one.to}V${one.y + tick}`} />
            <text x={end ? one.to : one.from} y={one.y + (one.below ? 15 : -6)} text-anchor={end ? "end" : "start"}>
              {one.text}
            </text>
          </g>
        );
      })}
      {panel.dots
        .filter((dot) => !many || dot.ring !== null || dot.printed || dot.look === "excluded")
        .map((dot) => (
          <Dot key={dot.run} dot={dot} height={panel.height} />
        ))}
      {last === undefined ? null : (
        <>
          <EdgeLabel
            line={last.upper}
            word={props.words ? "high limit" : ""}
            x={width}
            date={props.words ? last.date : null}
          />
          <EdgeLabel line={last.centre} word={props.words ? "centre" : ""} x={width} date={null} />
          <EdgeLabel
            line={last.lower}
            word={props.words ? "low limit" : ""}
            x={width}
            date={props.words ? last.date : null}
          />
        </>
      )}
    </g>
  );
}

function Dot({ dot, height }: { readonly dot: BenchDot; readonly height: number }): JSX.Element {
  const { x, y } = dot;
  return (
    <g data-run={dot.run} data-value={dot.text} data-look={dot.look}>
      {dot.look === "excluded" ? (
        <path class="crossed" d={`M${x - 3},${y - 3}L${x + 3},${y + 3}M${x - 3},${y + 3}L${x + 3},${y - 3}`} />
      ) : null}
      {dot.look === "excluded" ? <circle class="dot excluded" cx={x} cy={y} r="4.2" /> : null}
      {dot.ring === null ? (
        dot.look === "excluded" ? null : (
          <circle
            class={dot.look === "imported" ? "dot imported" : dot.used ? "dot used" : "dot"}
            cx={x}
            cy={y}
            r={dot.look === "imported" ? 1.9 : 2.4}
          />
        )
      ) : (
        <Ring x={x} y={y} r={dot.look === "excluded" ? 8 : 6} label={dot.ring} />
      )}
      {dot.number === null ? null : (
        <text class="flag-number" x={dot.number.x} y={dot.number.y} text-anchor="end">
          {dot.number.text}
        </text>
      )}
      {dot.printed ? (
        <text class="beyond" x={x} y={y < height / 2 ? y - 9 : y + 18} text-anchor="middle">
          {dot.text}
        </text>
      ) : null}
    </g>
  );
}

function EdgeLabel(props: {
  readonly line: { readonly y: number; readonly text: string } | null;
  readonly word: string;
  readonly x: number;
  readonly date: string | null;
}): JSX.Element | null {
  if (props.line === null) return null;
  return (
    <text class="edge" x={props.x + 14} y={props.line.y + 4}>
      <tspan class="number">{props.line.text}</tspan>
      <tspan class="word" dx="5">
        {props.word}
      </tspan>
      {props.date === null ? null : (
        <tspan class="word" x={props.x + 14} dy="14">
          {props.date}
        </tspan>
      )}
    </text>
  );
}
