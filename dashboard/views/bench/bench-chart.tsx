import type { Signal } from "@preact/signals";
import type { JSX } from "preact";
import { useMemo } from "preact/hooks";
import type { WireBench } from "../../../api/contract/bench-wire.ts";
import type { WireFlag } from "../../../api/contract/wire.ts";
import { pages } from "../../client/paths.ts";
import { go } from "../../client/route.ts";
import { phoneWidth, windowSize } from "../../client/window-size.ts";
import { axisTimes } from "../../model/axis-times.ts";
import { nextRoom } from "../../model/bench-pair.ts";
import { type BenchPicture, benchPicture } from "../../model/bench-picture.ts";
import { kindOf, missingWords, pointWords, type Wording } from "../../model/bench-words.ts";
import { spreadTitle } from "../../model/chart-words.ts";
import { sentenceCase } from "../../model/numbers.ts";
import { runName } from "../../model/run-name.ts";
import { unitWord } from "../../model/units.ts";
import { BenchDrawing } from "./bench-drawing.tsx";
import { BenchTable } from "./bench-table.tsx";
import type { OpenTrial } from "./use-trial.ts";
import { WindowHere } from "./window-here.tsx";

export interface BenchChartProps {
  readonly bench: WireBench;
  readonly flag: WireFlag | null;
  readonly say: Wording;
  readonly zone: string;
  readonly asTable: boolean;
  readonly picked: Signal<string | null>;
  readonly trial: OpenTrial;
}

/** Width that the list of charts takes beside the chart on a desk; the style sheet says the same. */
const listWidth = 328;

export function chartWidth(): { readonly width: number; readonly narrow: boolean } {
  const { width } = windowSize.value;
  const narrow = width < phoneWidth;
  return { width: narrow ? width - 24 : width - listWidth - 48, narrow };
}

/** The pair of the chart, or its table, and the sentence about the point under the cursor. */
export function BenchChart(props: BenchChartProps): JSX.Element {
  const { bench, flag, say, picked, trial } = props;
  const { points, characteristic: one } = bench;
  const name = (run: string): string => runName(run, say.runWord, say.times, say.now);
  const drawn = useMemo(() => benchPicture(bench, flag, say.times, name), [bench, flag, say.times]);
  const window = trial.choice === null ? null : windowPlaces(bench, trial);
  const picture = useMemo((): BenchPicture => ({ ...drawn, window }), [drawn, window?.from, window?.to]);
  if (points.length === 0) {
    return (
      <p class="note">
        {bench.span.from === null && bench.span.to === null
          ? `No ${one.runWord} has come in yet.`
          : `No ${one.runWord} ended in the span asked for.`}
      </p>
    );
  }
  const unit = unitWord(one.unit, bench.reference, bench.quantity);
  const { width, narrow } = chartWidth();
  const axis = width - (narrow ? 100 : 178) - (picture.next === null ? 0 : nextRoom);
  // With a flag above it the chart gives way, so that the words on why it flagged begin on the first screen.
  const around = flag === null ? 560 : 670;
  const tall = narrow ? 250 : Math.min(430, Math.max(230, windowSize.value.height - around));
  const index = points.findIndex((point) => point.run === picked.value);
  const at = index < 0 ? points.length - 1 : index;
  const readout = (place: number): string => pointWords(bench, points[place]!, say);
  const [long, short] = spreadTitle(kindOf(bench));
  const imported = points.filter((point) => point.imported).length;
  const out = bench.exclusions.find(({ run }) => run === points[at]!.run);
  return (
    <figure class="chart-figure" data-main-chart data-points={points.length}>
      {props.asTable ? (
        <BenchTable bench={bench} zone={props.zone} unit={unit} />
      ) : (
        <BenchDrawing
          picture={picture}
          text={{
            unit,
            spread: width > 430 ? long : short,
            times: axisTimes(points, say.times, narrow ? 3 : 6, axis),
            title: `${one.station} ${one.name}`,
          }}
          width={width}
          tall={tall}
          narrow={narrow}
          picked={picked}
          name={`${one.station} ${one.name}`}
          help="Enter opens the Run Sheet"
          readout={readout}
          open={(run) => go(pages.run(run))}
          drawnAcross={(from, to) => {
            if (trial.choice === null) return;
            trial.choose({ ...trial.choice, window: spanOf(bench, from, to) });
          }}
        />
      )}
      <figcaption>
        <p class="readout">
          {readout(at)}. <a href={pages.run(points[at]!.run)}>Run Sheet</a>
          {out === undefined
            ? null
            : ` Left out of limits: ${out.cause}${out.by === undefined ? "" : `, recorded by ${out.by}`}.`}
        </p>
        {bench.missing === null ? null : <p class="missing">{missingWords(bench.missing, say)}</p>}
        {imported === 0 ? null : (
          <p class="legend">
            <svg width="12" height="12" viewBox="0 0 12 12" aria-hidden="true">
              <circle class="dot imported" cx="6" cy="6" r="2.4" />
            </svg>{" "}
            imported, never judged
          </p>
        )}
        {trial.choice === null ? null : (
          <WindowHere
            name={sentenceCase(name(points[at]!.run))}
            begin={() => chooseEnd("from", at)}
            end={() => chooseEnd("to", at)}
          />
        )}
      </figcaption>
      <Causes bench={bench} say={say} />
    </figure>
  );

  /** One end of the trial's window moves to the point under the cursor; the other stays, or follows where it must. */
  function chooseEnd(end: "from" | "to", place: number): void {
    if (trial.choice === null) return;
    const now = windowPlaces(bench, trial) ?? { from: 0, to: points.length - 1 };
    const from = end === "from" ? place : Math.min(now.from, place);
    const to = end === "to" ? place : Math.max(now.to, place);
    const next = spanOf(bench, from, to);
    const { window: known } = trial.choice;
    // An end that lies beyond what is drawn is not pulled in by moving the other.
    const keepFrom = end === "to" && "from" in known && known.from < next.from && known.from < points[0]!.at;
    const keepTo = end === "from" && known.to !== undefined && known.to > points.at(-1)!.at && known.to > next.to;
    trial.choose({
      ...trial.choice,
      window: { from: keepFrom && "from" in known ? known.from : next.from, to: keepTo ? known.to! : next.to },
    });
  }
}

function spanOf(bench: WireBench, from: number, to: number): { readonly from: string; readonly to: string } {
  return {
    from: bench.points[from]!.at,
    to: new Date(Date.parse(bench.points[to]!.at) + 1).toISOString(),
  };
}

/** Where the trial's window lies among the points drawn; null where it lies wholly outside. */
function windowPlaces(bench: WireBench, trial: OpenTrial): { readonly from: number; readonly to: number } | null {
  const { points } = bench;
  const chosen = trial.choice?.window;
  if (chosen === undefined) return null;
  const answered = trial.answer.value?.window;
  const window = "from" in chosen ? chosen : answered;
  if (window === undefined) return null;
  const from = points.findIndex((point) => point.at >= window.from);
  const to = points.findLastIndex((point) => point.at < window.to);
  return from < 0 || to < from ? null : { from, to };
}

/** What the numbered tags on the axis stand for. */
function Causes({ bench, say }: { readonly bench: WireBench; readonly say: Wording }): JSX.Element | null {
  if (bench.causes.length === 0) return null;
  return (
    <ul class="causes" aria-label="Causes found">
      {bench.causes.map((one) => (
        <li key={one.flag}>
          <span class="tag-number">{one.number}</span> {one.cause}
          {one.note === "" ? "" : `: ${one.note}`}{" "}
          <span class="light">
            {one.by}, {say.times.near(Date.parse(one.at), say.now)}
          </span>
        </li>
      ))}
    </ul>
  );
}
