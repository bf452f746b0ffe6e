import { useSignal } from "@preact/signals";
import type { JSX } from "preact";
import type { WireBench, WireReplay } from "../../../api/contract/bench-wire.ts";
import { pages, paths } from "../../client/paths.ts";
import type { TrialChoice } from "../../model/bench-address.ts";
import { ruleName } from "../../model/bench-rules.ts";
import { rate, valueWords, type Wording } from "../../model/bench-words.ts";
import { counted, sentenceCase } from "../../model/numbers.ts";
import { runName } from "../../model/run-name.ts";
import { usePosted } from "./use-posted.ts";
import { trialBody } from "./use-trial.ts";

/** What the limits of the trial would have flagged among stored runs, beside what was flagged. */
export function ReplayPart(props: {
  readonly choice: TrialChoice;
  readonly bench: WireBench;
  readonly say: Wording;
}): JSX.Element {
  const { bench, say } = props;
  const over = useSignal<"after" | "all" | null>(null);
  const first = bench.points[0];
  const span = over.value === "all" && first !== undefined ? { span: { from: first.at, to: bench.now } } : {};
  const asked = over.value === null ? null : { ...trialBody(props.choice), ...span };
  const { answer } = usePosted<WireReplay>(paths.replay(bench.characteristic.id), asked);
  const { value, asking, trouble } = answer;
  return (
    <section class="replay" aria-labelledby="replay" aria-busy={asking}>
      <h3 id="replay">Replay</h3>
      <div class="buttons">
        <button
          type="button"
          class="plain"
          aria-pressed={over.value === "after"}
          onClick={() => (over.value = over.value === "after" ? null : "after")}
        >
          Replay on the runs since the window
        </button>
        <button
          type="button"
          class="plain"
          aria-pressed={over.value === "all"}
          onClick={() => (over.value = over.value === "all" ? null : "all")}
        >
          Replay on all runs drawn
        </button>
        <span class="light">What these limits would have flagged. Nothing is changed by it.</span>
      </div>
      {over.value === null ? null : trouble !== null ? (
        <p class="said" role="status">
          No replay: {trouble}.
        </p>
      ) : value === null || asking ? (
        <p role="status">Replaying …</p>
      ) : "refusal" in value ? (
        <p class="said" role="status">
          No replay: {value.refusal.detail}.
        </p>
      ) : (
        <Replayed replay={value} say={say} />
      )}
    </section>
  );
}

type Summary = Exclude<WireReplay, { readonly refusal: unknown }>;

function Replayed({ replay, say }: { readonly replay: Summary; readonly say: Wording }): JSX.Element {
  const rules = [
    ...new Set([...replay.proposed.byRule, ...replay.inForce.byRule].map(({ rule, on }) => `${on}/${rule}`)),
  ];
  const count = (side: Summary["proposed"], key: string): number =>
    side.byRule.find(({ rule, on }) => `${on}/${rule}` === key)?.count ?? 0;
  return (
    <div data-replay={replay.proposed.runs} data-replay-in-force={replay.inForce.runs}>
      <p role="status">
        {sentenceCase(counted(replay.runs, say.runWord))} from {say.times.fullDay(Date.parse(replay.from))} to{" "}
        {say.times.fullDay(Date.parse(replay.to))}: the proposed limits would have flagged <b>{replay.proposed.runs}</b>
        , those in force flagged <b>{replay.inForce.runs}</b>, both {replay.both}.{" "}
        {replay.byChance === null ? "" : `Chance alone would give the proposed limits about ${rate(replay.byChance)}.`}
      </p>
      {rules.length === 0 ? null : (
        <ul>
          {rules.map((key) => {
            const [on, rule] = key.split("/") as [string, string];
            return (
              <li key={key}>
                {sentenceCase(ruleName(rule))}
                {on === "spread" ? " on the spread chart" : ""}: {count(replay.proposed, key)} proposed,{" "}
                {count(replay.inForce, key)} in force
              </li>
            );
          })}
        </ul>
      )}
      {replay.items.length === 0 ? null : (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard
        <section class="table" aria-label="Runs that would be, or were, flagged" tabIndex={0}>
          <table>
            <thead>
              <tr>
                <th scope="col">{say.runWord}</th>
                <th scope="col">value</th>
                <th scope="col">proposed limits</th>
                <th scope="col">limits in force</th>
              </tr>
            </thead>
            <tbody>
              {replay.items.map((item) => (
                <tr key={item.run} data-replayed={item.run}>
                  <th scope="row">
                    <a href={pages.run(item.run)}>{runName(item.run, say.runWord, say.times, say.now)}</a>
                  </th>
                  <td>{item.value === null ? "no value" : valueWords(item.value, say)}</td>
                  <td>{hits(item.proposed)}</td>
                  <td>{item.imported ? "imported, never judged" : hits(item.inForce)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </section>
      )}
      {replay.leftOff === 0 ? null : <p class="light">{replay.leftOff} older ones are not listed.</p>}
    </div>
  );
}

function hits(found: Summary["items"][number]["proposed"]): string {
  if (found.length === 0) return "not flagged";
  return found.map(({ rule, side, on }) => `${ruleName(rule)}, ${side}${on === "spread" ? ", spread" : ""}`).join("; ");
}
