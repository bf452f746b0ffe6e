import type { Signal } from "@preact/signals";
import type { JSX } from "preact";
import { useMemo } from "preact/hooks";
import type { WireBench, WireTrial, WireTrialPoint } from "../../../api/contract/bench-wire.ts";
import { windowSize } from "../../client/window-size.ts";
import { axisTimes } from "../../model/axis-times.ts";
import { trialPicture } from "../../model/bench-picture.ts";
import { chartName, ruleName } from "../../model/bench-rules.ts";
import { valueWords, type Wording } from "../../model/bench-words.ts";
import { sentenceCase } from "../../model/numbers.ts";
import { runName } from "../../model/run-name.ts";
import { unitWord } from "../../model/units.ts";
import { chartWidth } from "./bench-chart.tsx";
import { BenchDrawing } from "./bench-drawing.tsx";

interface TrialChartsProps {
  readonly trial: WireTrial;
  readonly bench: WireBench;
  readonly say: Wording;
  readonly picked: Signal<string | null>;
  readonly open: (run: string) => void;
}

/** The window judged by its own trial limits and, once something is left out, beside it by the revised ones. */
export function TrialCharts(props: TrialChartsProps): JSX.Element | null {
  if (props.trial.points.length === 0) return <p class="note">No run ended in this window.</p>;
  return (
    <div class={props.trial.revised === null ? "trial-charts" : "trial-charts two"}>
      <One {...props} side="trial" />
      {props.trial.revised === null ? null : <One {...props} side="revised" />}
    </div>
  );
}

function One(props: TrialChartsProps & { readonly side: "trial" | "revised" }): JSX.Element {
  const { trial, bench, say, picked, side } = props;
  const { characteristic: one, points } = trial;
  const name = (run: string): string => runName(run, say.runWord, say.times, say.now);
  const picture = useMemo(() => trialPicture(trial, side, name), [trial, side]);
  const { width, narrow } = chartWidth();
  const two = trial.revised !== null && windowSize.value.width >= 1200;
  const across = two ? (width - 24) / 2 : width;
  const title = side === "trial" ? "Trial: every run of the window" : "Revised: without what is left out";
  const readout = (place: number): string => trialPointWords(points[place]!, side, say);
  const at = points.findIndex((point) => point.run === picked.value);
  return (
    <figure data-side={side}>
      <h3>{title}</h3>
      <BenchDrawing
        picture={picture}
        text={{
          unit: unitWord(one.unit, bench.reference, bench.quantity),
          spread: `Spread: ${chartName(trial.charts[1])}`,
          times: axisTimes(points, say.times, narrow || two ? 3 : 6, across - (narrow ? 100 : 178)),
          title: `${one.station} ${one.name}, ${title}`,
        }}
        width={across}
        tall={narrow ? 220 : 240}
        narrow={narrow}
        picked={picked}
        name={`${one.station} ${one.name}, ${title}`}
        help="Enter asks for the cause to leave one out"
        readout={readout}
        open={props.open}
      />
      <figcaption>
        <p class="readout">{readout(at < 0 ? points.length - 1 : at)}.</p>
      </figcaption>
    </figure>
  );
}

function trialPointWords(point: WireTrialPoint, side: "trial" | "revised", say: Wording): string {
  const judged = side === "revised" && point.revised !== null ? point.revised : point.trial;
  const parts = [sentenceCase(runName(point.run, say.runWord, say.times, say.now))];
  parts.push(
    point.value === null ? `no value: ${point.refusal?.detail ?? "no reason given"}` : valueWords(point.value, say),
  );
  if (point.excluded) parts.push("left out");
  if (judged.signals.length > 0) {
    parts.push(`signals: ${[...new Set(judged.signals.map(({ rule }) => ruleName(rule)))].join(", ")}`);
  } else if (point.lookAt) parts.push("far from the centre, worth a look");
  return parts.join(" · ");
}
