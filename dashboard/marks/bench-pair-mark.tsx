import type { JSX } from "preact";
import {
  type EdgeLabel,
  edgeGap,
  letterWidth,
  type Margins,
  type PlacedName,
  type PlacedText,
} from "../model/bench-labels.ts";
import type { BenchDot, BenchPair, BenchPanel } from "../model/bench-pair.ts";
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

const tagRoom = 44;
const foot = 24;

export function benchPairHeight(pair: BenchPair): number {
  return top(pair) + pair.location.height + between(pair) + pair.spread.height + foot;
}

const rowHeight = 14;

/** Names of limit sets stand in as many rows as they need. */
function top(pair: BenchPair): number {
  return 40 + rowHeight * Math.max(0, ...pair.names.map(({ row }) => row));
}

function between(pair: BenchPair): number {
  return (pair.tags.length > 0 ? tagRoom : 20) + 26;
}

/** The pair: location above, spread below, one axis of runs in order. */
export function BenchPairMark(props: {
  readonly pair: BenchPair;
  readonly text: BenchPairText;
  readonly margins: Margins;
  /** Whether labels at the right edge say what they are; on a phone the number alone has room. */
  readonly words: boolean;
  readonly selected: number | null;
}): JSX.Element {
  const { pair, text, margins, words, selected } = props;
  const width = pair.width + margins.left + margins.right;
  const height = benchPairHeight(pair);
  const tall = pair.location.height;
  const picked = selected === null ? null : pair.x(selected);
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
        {pair.names.map((one) => (
          <PhaseRule key={one.key} named={one} height={tall} />
        ))}
        <Change pair={pair} height={tall} />
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
        <Panel panel={pair.spread} width={pair.width} words={words} nameEnds={text.spread.length * letterWidth} />
        {text.times.map((time, at) => (
          <text
            key={time.index}
            class="tick"
            x={pair.x(time.index)}
            y={pair.spread.height + 18}
            text-anchor={at === 0 ? "start" : at === text.times.length - 1 ? "end" : "middle"}
          >
            {time.text}
          </text>
        ))}
      </g>
    </svg>
  );
}

/** The upright line where a limit set begins to rule, and its name on the side that has room. */
function PhaseRule({ named, height }: { readonly named: PlacedName; readonly height: number }): JSX.Element {
  const { x, row, name } = named;
  const y = -22 - rowHeight * row;
  return (
    <g data-phase={named.key}>
      <path class="phase" d={`M${x},${name === null ? -4 : y - 8}V${height}`} />
      {name === null ? null : <Words class="phase-title" words={name} y={y} />}
    </g>
  );
}

/** Where the change began, dotted, with the runs that it may be as a double line on the axis. */
function Change({ pair, height }: { readonly pair: BenchPair; readonly height: number }): JSX.Element | null {
  const { change } = pair;
  if (change === null) return null;
  return (
    <g class="change" data-change>
      <path class="began" d={`M${change.x},-4V${height}`} />
      <path class="set" d={`M${change.from},${height - 2}H${change.to}M${change.from},${height + 2}H${change.to}`} />
      <Words words={change.words} y={-6} />
    </g>
  );
}

function Words(props: { readonly words: PlacedText; readonly y: number; readonly class?: string }): JSX.Element {
  const { text, x, anchor } = props.words;
  return (
    <text class={props.class} x={x} y={props.y} text-anchor={anchor}>
      {text}
    </text>
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
            <text class="gap" x={gap.textX} y={props.height - 6} text-anchor="middle">
              {gap.text}
            </text>
          ) : null}
        </g>
      ))}
    </>
  );
}

interface PanelProps {
  readonly panel: BenchPanel;
  readonly width: number;
  readonly words: boolean;
  /** How far from the left its name stands right above it. */
  readonly nameEnds?: number;
}

function Panel(props: PanelProps): JSX.Element {
  const { panel, width, nameEnds = 0 } = props;
  const many = panel.dots.length > 260;
  return (
    <g data-panel={panel.name}>
      <PanelLines panel={panel} width={width} />
      <path class="data" d={panel.path} />
      {panel.brackets.map((one) => {
        const tick = one.below ? -5 : 5;
        return (
          <g key={`${one.from} ${one.to} ${one.words.text}`} class="bracket" data-bracket>
            <path d={`M${one.from},${one.y + tick}V${one.y}H${one.to}V${one.y + tick}`} />
            <Words words={one.words} y={one.y + (one.below ? 15 : -6)} />
          </g>
        );
      })}
      {panel.dots
        .filter((dot) => !many || dot.ring !== null || dot.printed || dot.look === "excluded")
        .map((dot) => (
          <Dot key={dot.run} dot={dot} height={panel.height} nameEnds={nameEnds} />
        ))}
      {panel.bars.map((bar) => (
        <path
          key={bar.from}
          class="uncertainty"
          data-uncertainty
          d={`M${width + 4},${bar.from}h6m-3,0V${bar.to}m-3,0h6`}
        />
      ))}
      {panel.edges.map((one) => (
        <Edge key={one.word} label={one} x={width + edgeGap} words={props.words} />
      ))}
    </g>
  );
}

interface DotProps {
  readonly dot: BenchDot;
  readonly height: number;
  readonly nameEnds: number;
}

function Dot({ dot, height, nameEnds }: DotProps): JSX.Element {
  const { x, y } = dot;
  // Above the edge it would stand in the panel's name.
  const beside = y < height / 2 && x - (dot.text.length * letterWidth) / 2 < nameEnds;
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
      {dot.number === null ? null : <Words class="flag-number" words={dot.number} y={dot.number.y} />}
      {dot.printed ? (
        <text
          class="beyond"
          x={beside ? x + 10 : x}
          y={beside ? y + 4 : y < height / 2 ? y - 9 : y + 18}
          text-anchor={beside ? "start" : "middle"}
        >
          {dot.text}
        </text>
      ) : null}
    </g>
  );
}

function Edge(props: { readonly label: EdgeLabel; readonly x: number; readonly words: boolean }): JSX.Element {
  const { y, text, word, date } = props.label;
  return (
    <text class="edge" x={props.x} y={y + 4}>
      <tspan class="number">{text}</tspan>
      {props.words ? (
        <tspan class="word" dx="5">
          {word}
        </tspan>
      ) : null}
      {props.words && date !== null ? (
        <tspan class="word" x={props.x} dy="14">
          {date}
        </tspan>
      ) : null}
    </text>
  );
}
