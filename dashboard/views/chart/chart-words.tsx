import type { JSX } from "preact";
import type { WireCharacteristic, WireFlag, WirePoint } from "../../../api/contract/wire.ts";
import { pages } from "../../client/paths.ts";
import { pictureMs } from "../../client/picture-store.ts";
import { capabilityWords } from "../../model/capability-words.ts";
import { limitSentences, limitSetTitle, missingLimits } from "../../model/limit-words.ts";
import { runName } from "../../model/run-name.ts";
import { siteTimes } from "../../model/times.ts";
import { evidence } from "../../model/why.ts";
import { CapabilitySection } from "./capability-section.tsx";

export interface ChartWordsProps {
  readonly characteristic: WireCharacteristic;
  readonly points: readonly WirePoint[];
  readonly flag: WireFlag | null;
  readonly zone: string;
}

/** Below the chart, in words: why it flagged, what the limits rest on, what the process can do. */
export function ChartWords(props: ChartWordsProps): JSX.Element {
  return (
    <div class="words">
      <Why {...props} />
      <RestsOn {...props} />
      <CapabilitySection words={capabilityWords(props.characteristic, siteTimes(props.zone))} />
    </div>
  );
}

function Why({ characteristic, points, flag, zone }: ChartWordsProps): JSX.Element {
  const times = siteTimes(zone);
  if (flag === null) {
    return (
      <section>
        <h2>Why it flagged</h2>
        <p>No flag is open on this chart.</p>
      </section>
    );
  }
  const { sentences, used } = evidence(flag, { characteristic, points, times, now: pictureMs.value });
  const limits = characteristic.limits;
  const run = flag.worst.run ?? flag.run;
  return (
    <section data-evidence={flag.id} data-used={used.size}>
      <h2>Why it flagged</h2>
      {sentences.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      {limits === null ? null : <p class="light">{limitSetTitle(limits, characteristic, times)}.</p>}
      {run === null ? null : (
        <p>
          <a href={pages.run(run)}>Run Sheet of {runName(run, characteristic.runWord, times, pictureMs.value)}</a>
        </p>
      )}
    </section>
  );
}

function RestsOn({ characteristic, zone }: ChartWordsProps): JSX.Element {
  const { limits } = characteristic;
  return (
    <section>
      <h2>What the limits rest on</h2>
      {limits === null ? (
        <p>{missingLimits(characteristic)}. Points are drawn, nothing is judged.</p>
      ) : (
        limitSentences(limits, characteristic, siteTimes(zone)).map((sentence) => <p key={sentence}>{sentence}</p>)
      )}
    </section>
  );
}
