import { useSignal } from "@preact/signals";
import type { JSX } from "preact";
import { useMemo } from "preact/hooks";
import type { WireCharacteristic, WireFlag, WirePoint } from "../../../api/contract/wire.ts";
import { pages } from "../../client/paths.ts";
import { pictureMs } from "../../client/picture-store.ts";
import { go } from "../../client/route.ts";
import { phoneWidth, windowSize } from "../../client/window-size.ts";
import { ChartPairMark } from "../../marks/chart-pair-mark.tsx";
import { axisTimes } from "../../model/axis-times.ts";
import { chartPair } from "../../model/chart-pair.ts";
import { spreadTitle } from "../../model/chart-words.ts";
import { limitSetTitle, missingLimits } from "../../model/limit-words.ts";
import { pointWords } from "../../model/point-words.ts";
import { siteTimes } from "../../model/times.ts";
import { unitWord } from "../../model/units.ts";
import { evidence } from "../../model/why.ts";

export interface ChartDrawingProps {
  readonly characteristic: WireCharacteristic;
  readonly points: readonly WirePoint[];
  readonly flags: ReadonlyMap<string, WireFlag>;
  readonly asked: WireFlag | null;
  readonly zone: string;
}

/** The pair drawn, with a cursor that moves along its points: arrow keys or pointer; Enter opens the Run Sheet. */
export function ChartDrawing(props: ChartDrawingProps): JSX.Element {
  const { characteristic, points, flags, asked, zone } = props;
  const times = siteTimes(zone);
  const picked = useSignal<string | null>(null);
  const { width, height } = windowSize.value;
  const phone = width < phoneWidth;
  const margins = phone ? { left: 44, right: 56 } : { left: 52, right: 132 };
  const drawing = Math.max(150, width - (phone ? 24 : 48) - margins.left - margins.right);
  const tall = phone ? 260 : Math.min(460, Math.max(230, height - 625));
  const pair = useMemo(() => {
    const used = asked === null ? new Set<string>() : evidence(asked, { characteristic, points, times, now: 0 }).used;
    return chartPair(characteristic, points, flags, used, {
      width: drawing,
      locationHeight: tall,
      spreadHeight: Math.round(tall / 3),
    });
  }, [characteristic, points, flags, asked, drawing, tall, times]);
  const found = points.findIndex((point) => point.run === picked.value);
  const selected = found < 0 ? null : found;
  const unit = unitWord(characteristic.unit, characteristic.reference, characteristic.quantity);
  const sets = new Map(
    characteristic.limits === null
      ? []
      : [
          [
            characteristic.limits.id,
            {
              title: limitSetTitle(characteristic.limits, characteristic, times),
              short: `Working limits ${characteristic.limits.revision}, from ${times.day(Date.parse(characteristic.limits.effectiveFrom))}`,
              date: `since ${times.day(Date.parse(characteristic.limits.effectiveFrom))}`,
            },
          ] as const,
        ],
  );
  const missing = missingLimits(characteristic);
  const imported = points.filter((point) => point.imported).length;

  const move = (event: KeyboardEvent): void => {
    const step = { ArrowLeft: -1, ArrowRight: 1, PageUp: -10, PageDown: 10 }[event.key];
    const last = points.length - 1;
    const here = selected ?? last;
    if (step !== undefined) pick(selected === null ? last : here + step);
    else if (event.key === "Home") pick(0);
    else if (event.key === "End") pick(last);
    else if (event.key === "Escape") picked.value = null;
    else if (event.key === "Enter") go(pages.run(points[here]!.run));
    else return;
    event.preventDefault();
  };
  const pick = (index: number): void => {
    picked.value = points[Math.min(points.length - 1, Math.max(0, index))]?.run ?? null;
  };
  const point = (event: MouseEvent & { readonly currentTarget: HTMLElement }): void => {
    const at = event.clientX - event.currentTarget.getBoundingClientRect().left - margins.left;
    pick(Math.round((at - pair.x(0)) / (points.length < 2 ? 1 : pair.x(1) - pair.x(0))));
  };
  const shown = points[selected ?? points.length - 1]!;
  const readout = pointWords(shown, characteristic, flags, times, pictureMs.value);
  return (
    <figure class="chart-figure" data-characteristic={characteristic.id} data-points={pair.location.dots.length}>
      <div
        class="chart-surface"
        role="slider"
        tabIndex={0}
        aria-label={`${characteristic.station} ${characteristic.name}, ${points.length} points. Arrow keys go along them, Enter opens the Run Sheet`}
        aria-valuemin={1}
        aria-valuemax={points.length}
        aria-valuenow={(selected ?? points.length - 1) + 1}
        aria-valuetext={readout}
        onKeyDown={move}
        onClick={point}
      >
        <ChartPairMark
          pair={pair}
          margins={margins}
          selected={selected}
          text={{ unit, spread: spreadTitle(characteristic), sets, times: axisTimes(points, times, phone ? 3 : 7) }}
        />
      </div>
      <figcaption>
        <p class="readout">
          {readout}. <a href={pages.run(shown.run)}>Run Sheet</a>
        </p>
        {missing === null ? null : <p class="missing">{missing}</p>}
        {imported === 0 ? null : (
          <p class="legend">
            <svg width="12" height="12" viewBox="0 0 12 12" aria-hidden="true">
              <circle class="dot imported" cx="6" cy="6" r="2.4" />
            </svg>{" "}
            imported, no trace
          </p>
        )}
      </figcaption>
    </figure>
  );
}
