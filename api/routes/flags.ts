import type { Router } from "express";
import { endpoints } from "../contract/endpoints.ts";
import { defaultLimit } from "../contract/query.ts";
import type { WireFlag } from "../contract/wire.ts";
import { decisions } from "../decisions.ts";
import type { ApiParts } from "../parts.ts";
import { actorOf } from "../people/actor.ts";
import type { People } from "../people/people.ts";
import { Problem } from "../problem.ts";
import { flagPage } from "../read-model/flag-pages.ts";
import { serve } from "../serve.ts";

export function flagRoutes(router: Router, parts: ApiParts, people: People): void {
  const { model, clock } = parts;
  const decide = decisions(parts);
  const known = (id: string): WireFlag => {
    const flag = model.flag(id) ?? afterCatchingUp(id);
    if (flag === undefined) throw new Problem(404, "unknown-flag", `no flag is named ${id}`);
    return flag;
  };
  // Asked by whoever heard of it from another process a moment ago.
  const afterCatchingUp = (id: string): WireFlag | undefined => {
    model.catchUp();
    return model.flag(id);
  };

  serve(router, endpoints.flags, ({ query: { state, characteristic, limit = defaultLimit, after } }) =>
    flagPage(
      model.flags(),
      { state, characteristic, limit, after },
      { seq: model.seq, closedSeq: model.book.closedSeq },
    ),
  );
  serve(router, endpoints.flag, ({ params: { id } }) => known(id));

  serve(router, endpoints.take, async ({ params: { id }, body }, response) => {
    const place = known(id);
    const by = await actorOf(people, body, "handle-flags", clock.nowMs(), response);
    const decided = decide.take(place, by);
    model.catchUp();
    const flag = known(id);
    if (decided !== "theirs") return flag;
    if (flag.done !== null) throw alreadyDone(flag);
    throw new Problem(409, "already-taken", `${flag.taken?.by} took this at ${flag.taken?.at}`, { flag });
  });

  serve(router, endpoints.done, async ({ params: { id }, body: { cause, note, ...named } }, response) => {
    const place = known(id);
    const by = await actorOf(people, named, "handle-flags", clock.nowMs(), response);
    const decided = decide.done(place, by, cause, note);
    model.catchUp();
    const flag = known(id);
    if (decided === "theirs") throw alreadyDone(flag);
    return flag;
  });
}

function alreadyDone(flag: WireFlag): Problem {
  const { by, at, cause } = flag.done ?? { by: "somebody", at: "an unknown time", cause: "none" };
  return new Problem(409, "already-done", `${by} closed this at ${at} with the cause: ${cause}`, { flag });
}
