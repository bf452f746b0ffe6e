import type { JSX } from "preact";
import type { WireCharacteristic, WireFlag, WirePoint } from "../../../api/contract/wire.ts";
import { pages } from "../../client/paths.ts";
import { pictureMs } from "../../client/picture-store.ts";
import { capabilityWords } from "../../model/capability-words.ts";
import { limitSentences, limitSetTitle, missingLimits } from "../../model/limit-words.ts";
import { runName } from "../../model/run-name.ts";
import { siteTimes } from "../../model/times.ts";
import { evidence } from "../../model/why.ts";

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
      <Capability {...props} />
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

function Capability({ characteristic, zone }: ChartWordsProps): JSX.Element {
  const words = capabilityWords(characteristic, siteTimes(zone));
  return (
    <section>
      <h2>Capability</h2>
      <p class="head">{words.head}</p>
      {words.indices[0]?.interval == null ? null : <p>{words.indices[0].interval}</p>}
      {words.reasons.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      {words.indices
        .filter((index) => index.name !== "Cpk" && index.value !== null)
        .map((index) => (
          <p key={index.name}>
            {index.name} <b>{index.value}</b>, {index.interval}
          </p>
        ))}
      {words.sentences.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
    </section>
  );
}
