import type { Router } from "express";
import type { PersonRef } from "../../spc/model/proposal.ts";
import type { TrialAsk } from "../contract/bench-wire.ts";
import { endpoints } from "../contract/endpoints.ts";
import type { ApiParts } from "../parts.ts";
import { Problem } from "../problem.ts";
import { bench } from "../read-model/bench.ts";
import { benchList } from "../read-model/bench-list.ts";
import { wireTrial } from "../read-model/bench-trial.ts";
import { chartHead } from "../read-model/bench-wire-form.ts";
import { type Charted, limitsInForce } from "../read-model/charted.ts";
import { spanOfFlag } from "../read-model/flag-span.ts";
import { afterWindow, replayStored, wireReplay } from "../read-model/replay.ts";
import { wireLimitSet } from "../read-model/wire-form.ts";
import { serve } from "../serve.ts";
import { askTrial, refusedTrial } from "../trials.ts";

export function benchRoutes(router: Router, parts: ApiParts): void {
  const { model, journal, clock } = parts;
  serve(router, endpoints.benchList, () => benchList(model, clock.nowMs()));

  serve(router, endpoints.bench, ({ params: { id }, query: { from, to, flag } }) => {
    const nowMs = clock.nowMs();
    const charted = knownChart(parts, id);
    const wire = model.characteristic(id, nowMs);
    if (wire === undefined) throw new TypeError(`characteristic ${id} is charted and is not known`);
    const span =
      flag === undefined || from !== undefined || to !== undefined
        ? { fromMs: from, toMs: to }
        : spanOfFlag(journal, model.book, charted, flag);
    return bench(journal, model, charted, wire, span, nowMs);
  });

  serve(router, endpoints.trial, async ({ params: { id }, body }) => {
    const charted = knownChart(parts, id);
    const asked = await asksTrial(parts, charted, body);
    const limits = limitsInForce(charted, clock.nowMs());
    const found = asked.ok ? wireTrial(asked.value.request, asked.value.trial) : refusedTrial(charted, body, asked);
    return {
      characteristic: chartHead(charted),
      ...found,
      inForce: limits === undefined ? null : wireLimitSet(limits),
    };
  });

  serve(router, endpoints.replay, async ({ params: { id }, body: { span, ...body } }) => {
    const charted = knownChart(parts, id);
    const asked = await asksTrial(parts, charted, body);
    if (!asked.ok) return { refusal: asked.refusal };
    const { request, trial } = asked.value;
    const newest = trial.revised ?? trial.trial;
    if (!newest.ok) return { refusal: newest.refusal };
    const over =
      span === undefined
        ? afterWindow(charted, request.window, clock.nowMs())
        : { fromMs: Date.parse(span.from), toMs: Date.parse(span.to) };
    return wireReplay(await replayStored(journal, charted.characteristic, newest.value, trial.chance, over));
  });
}

/** Whoever looks has not said who they are; what they look at is proposed by somebody with a name. */
const onlooker: PersonRef = { id: "onlooker", name: "whoever proposes it" };

function asksTrial(parts: ApiParts, charted: Charted, ask: TrialAsk) {
  return askTrial(parts, charted, ask, onlooker, parts.clock.nowMs());
}

export function knownChart({ model }: Pick<ApiParts, "model">, id: string): Charted {
  const charted = model.chartedOf(id);
  if (charted === undefined) throw new Problem(404, "unknown-characteristic", `no characteristic is named ${id}`);
  return charted;
}
