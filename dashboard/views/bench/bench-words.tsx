import type { JSX } from "preact";
import type { WireBench } from "../../../api/contract/bench-wire.ts";
import type { WireFlag } from "../../../api/contract/wire.ts";
import { pages } from "../../client/paths.ts";
import { setTitle } from "../../model/bench-picture.ts";
import {
  basisSentence,
  cautionSentences,
  chanceSentences,
  flagLimits,
  missingWords,
  restsOnOf,
  restsOnSentences,
  uncertaintySentence,
  type Wording,
  whySentences,
} from "../../model/bench-words.ts";
import { capabilityWords } from "../../model/capability-words.ts";
import { silencedWords } from "../../model/limit-words.ts";
import { runName } from "../../model/run-name.ts";
import { CapabilitySection } from "./capability-section.tsx";
import type { OpenTrial } from "./use-trial.ts";

interface WordsProps {
  readonly bench: WireBench;
  readonly flag: WireFlag | null;
  readonly say: Wording;
  readonly trial: OpenTrial;
  readonly opened: (byButton: boolean) => void;
}

/** Below the chart, in words: why it flagged, what the limits rest on, what the process can do. */
export function BenchWords(props: WordsProps): JSX.Element {
  return (
    <div class="words">
      <Why {...props} />
      <RestsOn {...props} />
      <Capability {...props} />
    </div>
  );
}

function Why({ bench, flag, say }: WordsProps): JSX.Element {
  if (flag === null) {
    return (
      <section>
        <h2>Why it flagged</h2>
        <p>No flag is open on this chart.</p>
      </section>
    );
  }
  const limits = flagLimits(bench, flag, say);
  const run = flag.worst.run ?? flag.run;
  return (
    <section data-evidence={flag.id} role="status" aria-label={`Why flag ${flag.number} was raised`}>
      <h2>Why it flagged</h2>
      {whySentences(bench, flag, say).map((text) => (
        <p key={text}>{text}</p>
      ))}
      {limits === null ? null : <p class="light">{limits}.</p>}
      {run === null ? null : (
        <p>
          <a href={pages.run(run)}>Run Sheet of {runName(run, say.runWord, say.times, say.now)}</a>
        </p>
      )}
    </section>
  );
}

function RestsOn({ bench, say, trial, opened }: WordsProps): JSX.Element {
  const { limits, chance } = bench;
  return (
    <section data-rests-on>
      <h2>What the limits rest on</h2>
      {limits === null ? (
        <p>
          {bench.missing === null ? "No limits are in force" : missingWords(bench.missing, say)}. Points are drawn,
          nothing is judged.
        </p>
      ) : (
        <>
          {[
            ...restsOnSentences(restsOnOf(limits), say),
            uncertaintySentence(limits, say),
            basisSentence(limits),
            silencedWords(limits),
          ]
            .filter((text) => text !== null)
            .map((text) => (
              <p key={text}>{text}</p>
            ))}
          {chance === null
            ? null
            : chanceSentences(chance, limits.baseline.n, say).map((text) => <p key={text}>{text}</p>)}
          {cautionSentences([...bench.cautions, ...bench.stale]).map((text) => (
            <p key={text} class="caution">
              {text}
            </p>
          ))}
          <p class="light">
            {setTitle(limits, say.runWord, say.times)}.{limits.reason === "" ? "" : ` Reason: ${limits.reason}`}
          </p>
        </>
      )}
      {trial.choice === null ? (
        <p>
          <button
            type="button"
            class="plain"
            onClick={() => {
              opened(true);
              openTrial(bench, trial);
            }}
          >
            Propose new limits …
          </button>
        </p>
      ) : null}
    </section>
  );
}

/** Phase I begins with what is on the screen: nothing is chosen that nobody saw. */
export function openTrial(
  bench: WireBench,
  trial: OpenTrial,
  rules: NonNullable<OpenTrial["choice"]>["rules"] = null,
): void {
  const [first, last] = [bench.points[0], bench.points.at(-1)];
  const window =
    first === undefined || last === undefined
      ? { last: 100 }
      : { from: first.at, to: new Date(Date.parse(last.at) + 1).toISOString() };
  trial.choose({ window, basis: bench.limits?.basis ?? "chart", rules, leftOut: [] });
}

function Capability({ bench, say }: WordsProps): JSX.Element {
  const words = capabilityWords(
    { capability: bench.capability, specification: bench.specification, runWord: say.runWord },
    say.times,
  );
  return <CapabilitySection words={words} />;
}
