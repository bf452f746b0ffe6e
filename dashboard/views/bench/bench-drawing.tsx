import type { Signal } from "@preact/signals";
import type { JSX } from "preact";
import { useMemo, useRef } from "preact/hooks";
import { BenchPairMark, type BenchPairText } from "../../marks/bench-pair-mark.tsx";
import { benchMargins, benchPair } from "../../model/bench-pair.ts";
import type { BenchPicture } from "../../model/bench-picture.ts";

export interface BenchDrawingProps {
  readonly picture: BenchPicture;
  readonly text: BenchPairText;
  /** Of the whole drawing, margins included. */
  readonly width: number;
  readonly tall: number;
  readonly narrow: boolean;
  /** Run under the cursor; shared by drawings that stand beside each other. */
  readonly picked: Signal<string | null>;
  readonly name: string;
  /** What Enter does, as the name tells it: `Enter opens the Run Sheet`. */
  readonly help: string;
  readonly readout: (index: number) => string;
  readonly open: (run: string) => void;
  /** Places from and to that a pointer was drawn across. */
  readonly drawnAcross?: (from: number, to: number) => void;
}

/** A chart pair with a cursor that goes along its points, by arrow keys or pointer. */
export function BenchDrawing(props: BenchDrawingProps): JSX.Element {
  const { picture, picked, text } = props;
  const { points } = picture;
  const { width, tall, narrow } = props;
  const { pair, margins } = useMemo(() => {
    const heights = { locationHeight: tall, spreadHeight: Math.round(tall / 3) };
    const least = narrow ? { left: 44, right: 56 } : { left: 50, right: 128 };
    const margins = benchMargins(picture, heights, least, !narrow);
    const inner = Math.max(120, width - margins.left - margins.right);
    return { margins, pair: benchPair(picture, { width: inner, ...heights, margins }) };
  }, [picture, width, tall, narrow]);
  const found = points.findIndex((point) => point.run === picked.value);
  const selected = found < 0 ? null : found;
  const began = useRef<number | null>(null);
  const pick = (index: number): void => {
    picked.value = points[Math.min(points.length - 1, Math.max(0, index))]?.run ?? null;
  };
  const move = (event: KeyboardEvent): void => {
    const last = points.length - 1;
    const step = { ArrowLeft: -1, ArrowRight: 1, PageUp: -10, PageDown: 10 }[event.key];
    if (step !== undefined) pick(selected === null ? last : selected + step);
    else if (event.key === "Home") pick(0);
    else if (event.key === "End") pick(last);
    else if (event.key === "Escape") picked.value = null;
    else if (event.key === "Enter") props.open(points[selected ?? last]!.run);
    else return;
    event.preventDefault();
  };
  const place = (event: MouseEvent & { readonly currentTarget: HTMLElement }): number =>
    pair.nearest(event.clientX - event.currentTarget.getBoundingClientRect().left - margins.left);
  return (
    <div
      class="chart-surface"
      role="slider"
      tabIndex={0}
      aria-label={`${props.name}, ${points.length} points. Arrow keys go along them, ${props.help}`}
      aria-valuemin={1}
      aria-valuemax={points.length}
      aria-valuenow={(selected ?? points.length - 1) + 1}
      aria-valuetext={props.readout(selected ?? points.length - 1)}
      onKeyDown={move}
      onPointerDown={(event) => {
        began.current = event.pointerType === "mouse" ? place(event) : null;
      }}
      onPointerUp={(event) => {
        const here = place(event);
        const from = began.current;
        began.current = null;
        if (from !== null && Math.abs(here - from) > 2 && props.drawnAcross !== undefined) {
          props.drawnAcross(Math.min(from, here), Math.max(from, here));
        } else pick(here);
      }}
    >
      <BenchPairMark pair={pair} margins={margins} words={!narrow} selected={selected} text={text} />
    </div>
  );
}
