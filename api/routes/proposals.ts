import type { Router } from "express";
import type { WireProposal } from "../contract/bench-wire.ts";
import { endpoints } from "../contract/endpoints.ts";
import { defaultLimit } from "../contract/query.ts";
import type { ApiParts } from "../parts.ts";
import { actorOf } from "../people/actor.ts";
import type { People } from "../people/people.ts";
import { Problem } from "../problem.ts";
import { type ProposalAnswer, proposalDecisions } from "../proposals.ts";
import { fingerprintOf } from "../read-model/bench-trial.ts";
import { type Shown, wireChance, wireRestsOn } from "../read-model/bench-wire-form.ts";
import type { Charted } from "../read-model/charted.ts";
import { proposalOf, proposalPage } from "../read-model/proposals.ts";
import { afterWindow, replayStored, wireReplaySummary } from "../read-model/replay.ts";
import { serve } from "../serve.ts";
import { type AskedTrial, askTrial } from "../trials.ts";
import { knownChart } from "./bench.ts";

export function proposalRoutes(router: Router, parts: ApiParts, people: People): void {
  const { model, clock, journal, version } = parts;
  const decide = proposalDecisions(parts);
  const known = (id: string): WireProposal => {
    const found = proposalOf(model, id) ?? afterCatchingUp(id);
    if (found === undefined) throw new Problem(404, "unknown-proposal", `no proposal is named ${id}`);
    return found;
  };
  // Asked by whoever heard of it from another process a moment ago.
  const afterCatchingUp = (id: string): WireProposal | undefined => {
    model.catchUp();
    return proposalOf(model, id);
  };
  const answered = (answer: ProposalAnswer): WireProposal => {
    model.catchUp();
    if (answer.ok) return known(answer.proposal);
    throw new Problem(answer.why === "same-person" ? 403 : 409, answer.why, answer.detail);
  };
  const characteristicOf = (id: string) => knownChart(parts, known(id).characteristic.id).characteristic;

  serve(router, endpoints.proposals, ({ query: { limit = defaultLimit, ...query } }) =>
    proposalPage(model, { limit, ...query }),
  );
  serve(router, endpoints.proposal, ({ params: { id } }) => known(id));

  serve(router, endpoints.propose, async ({ body }, response) => {
    const charted = knownChart(parts, body.characteristic);
    const actor = await actorOf(people, body, "propose-limits", clock.nowMs(), response);
    const by = { id: actor.id, name: actor.name };
    const nowMs = clock.nowMs();
    const asked = await askTrial(parts, charted, body, by, nowMs);
    if (!asked.ok) throw new Problem(409, "not-proposable", asked.refusal.detail);
    const { request, trial } = asked.value;
    const newest = trial.revised ?? trial.trial;
    if (!newest.ok) throw new Problem(409, "not-proposable", newest.refusal.detail);
    if (fingerprintOf(request, trial) !== body.fingerprint) {
      const detail = "these are other numbers than those that were shown: look at the trial again, then propose";
      throw new Problem(409, "numbers-changed", detail);
    }
    const { fromMs, toMs } = request.window;
    const proposal = {
      ...{ characteristic: charted.characteristic.id, by, reason: body.reason, engine: version },
      ...{ limits: newest.value.limits, window: { fromMs, toMs }, exclusions: request.exclusions },
      shown: await shownWith(charted, asked.value, nowMs),
    };
    return answered(decide.propose(charted.characteristic, proposal, actor));
  });

  serve(router, endpoints.agree, async ({ params: { id }, body }, response) => {
    const characteristic = characteristicOf(id);
    const by = await actorOf(people, body, "agree-limits", clock.nowMs(), response);
    return answered(decide.agree(characteristic, id, by));
  });

  serve(router, endpoints.withdraw, async ({ params: { id }, body }, response) => {
    const characteristic = characteristicOf(id);
    const by = await actorOf(people, body, "withdraw-limits", clock.nowMs(), response);
    return answered(decide.withdraw(characteristic, id, by, body.reason));
  });

  /** What stands beside the limits on the screen, to be read again by whoever agrees. */
  async function shownWith(charted: Charted, { request, trial }: AskedTrial, nowMs: number): Promise<Shown> {
    const newest = trial.revised ?? trial.trial;
    if (!newest.ok || trial.chance === null) throw new TypeError("limits that were refused cannot be shown");
    const { limits, signals, unexplained } = newest.value;
    const span = afterWindow(charted, request.window, nowMs);
    const replay = await replayStored(journal, request.characteristic, newest.value, trial.chance, span);
    return {
      restsOn: wireRestsOn(limits),
      chance: wireChance(trial.chance),
      cautions: [...trial.cautions],
      ...{ signals, unexplained },
      replay: replay.ok ? wireReplaySummary(replay.value) : null,
    };
  }
}
