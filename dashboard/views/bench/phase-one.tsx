import { useSignal } from "@preact/signals";
import type { JSX } from "preact";
import { useEffect, useRef } from "preact/hooks";
import type { WireBench, WireProposal } from "../../../api/contract/bench-wire.ts";
import { paths } from "../../client/paths.ts";
import { cautionSentences, valueWords, type Wording } from "../../model/bench-words.ts";
import { counted, plural } from "../../model/numbers.ts";
import { runName } from "../../model/run-name.ts";
import { SignedForm } from "../limits/signed-form.tsx";
import { ExclusionForm } from "./exclusion-form.tsx";
import { ReplayPart } from "./replay-part.tsx";
import { SideFigures } from "./side-figures.tsx";
import { TrialCharts } from "./trial-charts.tsx";
import { type OpenTrial, trialBody } from "./use-trial.ts";
import { WindowFields } from "./window-fields.tsx";

export interface PhaseOneProps {
  readonly bench: WireBench;
  readonly trial: OpenTrial;
  readonly say: Wording;
  readonly zone: string;
  /** By the button that says so: reading goes on here. */
  readonly opened: boolean;
  readonly proposed: (proposal: WireProposal) => void;
}

/** Phase I: from a window of stored runs, by way of recorded causes, to a proposal for somebody else to agree to. */
export function PhaseOne(props: PhaseOneProps): JSX.Element | null {
  const { bench, trial, say, zone } = props;
  const head = useRef<HTMLHeadingElement>(null);
  const picked = useSignal<string | null>(null);
  const leaving = useSignal<string | null>(null);
  const proposing = useSignal(false);
  useEffect(() => {
    // The button that opened it is gone. Who came by a link, or by a switch, stays where they are.
    if (props.opened) head.current?.focus();
  }, [props.opened]);
  const { choice } = trial;
  const { value, asking, trouble, refused } = trial.answer;
  if (choice === null) return null;
  const name = (run: string): string => runName(run, say.runWord, say.times, say.now);
  const backToChart = (): void => {
    requestAnimationFrame(() => document.querySelector<HTMLElement>(".trial-charts [role=slider]")?.focus());
  };
  const newest = value === null ? null : (value.revised ?? value.trial);
  const said = new Set(newest === null || "refusal" in newest ? [] : newest.cautions.map(({ code }) => code));
  const known = value === null ? null : "refusal" in value.trial ? value.trial.refusal : null;
  return (
    <section class="phase-one" aria-labelledby="phase-one" aria-busy={asking} data-trial data-asking={asking}>
      <header class="title">
        <h2 id="phase-one" tabIndex={-1} ref={head}>
          Phase I: new limits for {bench.characteristic.station} {bench.characteristic.name}
        </h2>
        <p class="light">A trial writes nothing. Limits in force stay until a second person agrees to other ones.</p>
        <button type="button" class="plain" onClick={trial.close}>
          Close the trial
        </button>
      </header>
      <WindowFields bench={bench} trial={trial} say={say} zone={zone} />
      {trouble === null ? null : (
        <p class="said" role="status">
          {refused ? "No trial" : "Not the newest"}: {trouble}.{refused ? "" : " Trying again …"}
        </p>
      )}
      {value === null ? (
        trouble === null ? (
          <p class="note computing" role="status">
            Computing the trial …
          </p>
        ) : null
      ) : (
        <>
          {known === null ? null : (
            <p class="said" role="status" data-trial-refused={known.code}>
              No trial limits: {known.detail}
              {known.has !== undefined && known.needs !== undefined
                ? ` (${known.has} of ${known.needs} ${plural(say.runWord)})`
                : ""}
              .
            </p>
          )}
          <TrialCharts
            trial={value}
            say={say}
            bench={bench}
            picked={picked}
            open={(run) => {
              picked.value = run;
              leaving.value = run;
            }}
          />
          {leaving.value === null ? (
            <PickedPoint
              trial={trial}
              run={picked.value}
              name={name}
              leave={(run) => (leaving.value = run)}
              back={backToChart}
            />
          ) : (
            <ExclusionForm
              key={leaving.value}
              name={name(leaving.value)}
              causes={bench.causes.map(({ cause }) => cause)}
              already={choice.leftOut.find(({ run }) => run === leaving.value) ?? null}
              record={(left) => {
                const others = choice.leftOut.filter(({ run }) => run !== leaving.value);
                trial.choose({ ...choice, leftOut: [...others, { run: leaving.value!, ...left }] });
                leaving.value = null;
                backToChart();
              }}
              close={() => {
                leaving.value = null;
                backToChart();
              }}
            />
          )}
          {choice.leftOut.length === 0 ? null : (
            <ul class="left-out" aria-label="Left out, each with its cause">
              {choice.leftOut.map((left) => (
                <li key={left.run} data-left-out={left.run}>
                  <b>{name(left.run)}</b>: {left.cause}.{" "}
                  <span class="light">
                    Evidence: {left.evidence}. Done: {left.action}.
                  </span>{" "}
                  <button
                    type="button"
                    class="plain small"
                    onClick={() =>
                      trial.choose({ ...choice, leftOut: choice.leftOut.filter(({ run }) => run !== left.run) })
                    }
                  >
                    Take it back in
                  </button>
                </li>
              ))}
            </ul>
          )}
          <SideFigures trial={value} say={say} />
          <div class="phase-one-words">
            {cautionSentences(value.cautions.filter(({ code }) => !said.has(code))).map((text) => (
              <p key={text} class="caution" data-caution>
                {text}
              </p>
            ))}
            {"refusal" in value.change ? null : (
              <p class="caution">
                The window runs at two levels: {valueWords(value.change.before, say)}, then{" "}
                {valueWords(value.change.after, say)} from near {name(value.change.run)}. A window of one level gives
                truer limits.
              </p>
            )}
          </div>
          <ReplayPart choice={choice} bench={bench} say={say} />
          {proposing.value ? (
            <SignedForm
              kind="propose"
              path={paths.proposals}
              body={{
                ...trialBody(choice),
                window: { from: value.window.from, to: value.window.to },
                characteristic: bench.characteristic.id,
                fingerprint: value.fingerprint ?? "",
              }}
              reason="Why these limits"
              button="Propose"
              about={null}
              zone={zone}
              saved={(proposal) => {
                proposing.value = false;
                props.proposed(proposal);
              }}
              refused={(code) => {
                if (code === "numbers-changed") trial.again();
              }}
              close={() => (proposing.value = false)}
            />
          ) : (
            <div class="buttons">
              <button
                type="button"
                class="strong"
                aria-disabled={value.fingerprint === null || asking}
                aria-describedby="propose-words"
                onClick={() => {
                  if (value.fingerprint !== null && !asking) proposing.value = true;
                }}
              >
                Propose these limits …
              </button>
              <span class="light" id="propose-words">
                {value.fingerprint === null
                  ? "These cannot be proposed: there are no limits to propose."
                  : `From ${counted(value.window.values - choice.leftOut.length, say.runWord)}. A second person has to agree before they rule.`}
              </span>
            </div>
          )}
        </>
      )}
    </section>
  );
}

/** The point under the trial's cursor, and the way to leave it out. */
function PickedPoint(props: {
  readonly trial: OpenTrial;
  readonly run: string | null;
  readonly name: (run: string) => string;
  readonly leave: (run: string) => void;
  readonly back: () => void;
}): JSX.Element {
  const { trial, run } = props;
  const { choice } = trial;
  const inWindow = trial.answer.value?.points.some((point) => point.run === run && point.value !== null) ?? false;
  if (choice === null || run === null || !inWindow) {
    return (
      <p class="light picked-point">Go to a point with the arrow keys or the pointer. Enter asks for its cause.</p>
    );
  }
  const left = choice.leftOut.find((one) => one.run === run);
  return (
    <p class="picked-point">
      <button type="button" class="plain small" onClick={() => props.leave(run)}>
        {left === undefined ? `Leave ${props.name(run)} out …` : `Change the cause of ${props.name(run)} …`}
      </button>
    </p>
  );
}
