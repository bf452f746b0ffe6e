import { useSignal } from "@preact/signals";
import type { JSX } from "preact";
import type { WireProposal } from "../../../api/contract/bench-wire.ts";
import { pages, paths } from "../../client/paths.ts";
import { mayTry } from "../../client/session.ts";
import { benchSearch, plainBench } from "../../model/bench-address.ts";
import { countedPoints } from "../../model/bench-count.ts";
import { ruleName } from "../../model/bench-rules.ts";
import {
  cautionSentences,
  chanceSentences,
  restsOnSentences,
  valueWords,
  type Wording,
} from "../../model/bench-words.ts";
import { counted } from "../../model/numbers.ts";
import { runName } from "../../model/run-name.ts";
import { RefusedControl } from "../people/refused-control.tsx";
import { SignedForm } from "./signed-form.tsx";

export interface ProposalCardProps {
  readonly proposal: WireProposal;
  readonly say: Wording;
  readonly zone: string;
  readonly changed: () => void;
}

/** Limits that one person proposes, with all that the second needs to decide about them. */
export function ProposalCard(props: ProposalCardProps): JSX.Element {
  const { proposal, say, zone } = props;
  const { characteristic: one, limits, shown } = proposal;
  const doing = useSignal<"agree" | "withdraw" | null>(null);
  const when = (at: string): string => `${say.times.day(Date.parse(at))} ${say.times.minute(Date.parse(at))}`;
  const open = proposal.state === "open";
  const name = `${one.station} ${one.name}${one.part === null ? "" : ` ${one.part}`}`;
  const saved = (): void => {
    doing.value = null;
    props.changed();
  };
  return (
    <article class="proposal" data-proposal={proposal.id} data-state={proposal.state}>
      <h3>
        <a href={pages.bench(one.id, benchSearch({ ...plainBench, trial: trialOf(proposal) }))}>{name}</a>: proposal{" "}
        {proposal.number} <span class="light">by</span> {proposal.proposed.by.name}{" "}
        <span class="light">{when(proposal.proposed.at)}</span>
      </h3>
      <p class="reason">{proposal.reason}</p>
      <dl class="figures">
        <div>
          <dt>high limit</dt>
          <dd>{valueWords(limits.location.upper, say)}</dd>
        </div>
        <div>
          <dt>centre</dt>
          <dd>{valueWords(limits.location.centre, say)}</dd>
        </div>
        <div>
          <dt>low limit</dt>
          <dd>{valueWords(limits.location.lower, say)}</dd>
        </div>
        <div>
          <dt>spread, high limit</dt>
          <dd>{valueWords(limits.spread.upper, say)}</dd>
        </div>
        <div>
          <dt>rests on</dt>
          <dd>{countedPoints(shown.restsOn.n, say)}</dd>
        </div>
      </dl>
      <details>
        <summary>What stood on the screen when it was proposed</summary>
        {restsOnSentences(shown.restsOn, say).map((text) => (
          <p key={text}>{text}</p>
        ))}
        {chanceSentences(shown.chance, shown.restsOn.n, say).map((text) => (
          <p key={text}>{text}</p>
        ))}
        <p>
          Limits from {limits.basis === "chart" ? "the chart's own spread" : "all values"}, with these rules:{" "}
          {limits.rules.map(ruleName).join("; ")}.
        </p>
        <p>
          {counted(shown.signals, "signal")} in the window, {shown.unexplained} without a recorded cause.
        </p>
        {shown.replay === null ? null : (
          <p>
            On {counted(shown.replay.values, one.runWord)} after the window these limits would have flagged{" "}
            {shown.replay.proposed.runs}; those in force flagged {shown.replay.inForce.runs}.
          </p>
        )}
        {proposal.exclusions.map((left) => (
          <p key={left.run}>
            Left out: {runName(left.run, one.runWord, say.times, say.now)}, {left.cause}. Evidence: {left.evidence}.
            Done: {left.action}. Recorded by {left.by}.
          </p>
        ))}
      </details>
      {cautionSentences(shown.cautions).map((text) => (
        <p key={text} class="caution">
          {text}
        </p>
      ))}
      {open ? null : (
        <p class="said" data-outcome role="status">
          {outcome(proposal, when)}
          {doing.value === null ? "" : " Yours was not sent."}
        </p>
      )}
      {open && doing.value !== null ? (
        <SignedForm
          key={doing.value}
          kind={doing.value}
          path={
            doing.value === "agree" ? `${paths.proposal(proposal.id)}/agree` : `${paths.proposal(proposal.id)}/withdraw`
          }
          body={{}}
          reason={doing.value === "withdraw" ? "Why it is taken back" : null}
          button={doing.value === "agree" ? "Agree: put in force" : "Withdraw"}
          about={proposal.id}
          zone={zone}
          saved={saved}
          refused={(code) => {
            if (/^(already|proposal|settings)-/.test(code)) props.changed();
          }}
          close={() => (doing.value = null)}
        />
      ) : open ? (
        <div class="buttons">
          {mayTry("agree-limits") ? (
            <button type="button" class="strong" aria-label={`Agree … ${name}`} onClick={() => (doing.value = "agree")}>
              Agree …
            </button>
          ) : (
            <RefusedControl right="agree-limits" words="Agree …" label={`Agree … ${name}`} strong />
          )}
          {mayTry("withdraw-limits") ? (
            <button
              type="button"
              class="plain"
              aria-label={`Withdraw … ${name}`}
              onClick={() => (doing.value = "withdraw")}
            >
              Withdraw …
            </button>
          ) : null}
          <span class="light">Somebody other than {proposal.proposed.by.name} agrees. Until then nothing changes.</span>
        </div>
      ) : null}
    </article>
  );
}

/** The very trial that was proposed, so that the second person can look at it before agreeing. */
function trialOf(proposal: WireProposal): NonNullable<typeof plainBench.trial> {
  const { window, limits, exclusions } = proposal;
  const rules = limits.rules as NonNullable<NonNullable<typeof plainBench.trial>["rules"]>;
  return {
    window,
    basis: limits.basis,
    rules,
    leftOut: exclusions.map(({ run, cause, evidence, action }) => ({ run, cause, evidence, action })),
  };
}

function outcome(proposal: WireProposal, when: (at: string) => string): string {
  const { agreed, withdrawn } = proposal;
  if (agreed !== null) return `Agreed by ${agreed.by.name}, ${when(agreed.at)}. In force since then.`;
  if (withdrawn !== null) return `Withdrawn by ${withdrawn.by.name}, ${when(withdrawn.at)}: ${withdrawn.reason}.`;
  return "Other limits came into force since, so this can no longer be agreed. Propose anew from the Bench.";
}
