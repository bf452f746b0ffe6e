import type { Router } from "express";
import { recomputeAskedEntry } from "../../collector/store/entries.ts";
import { endpoints } from "../contract/endpoints.ts";
import type { ApiParts } from "../parts.ts";
import { actorOf } from "../people/actor.ts";
import type { People } from "../people/people.ts";
import { type Mistake, mistaken, Problem } from "../problem.ts";
import { recomputations, wireRecompute } from "../read-model/revisions.ts";
import { serve } from "../serve.ts";

const usualLimit = 20;

/** Asks are written here and answered by whoever cuts runs, so that readings that come in never wait for them. */
export function recomputeRoutes(router: Router, parts: ApiParts, people: People): void {
  const { site, journal, clock, bus, access } = parts;

  serve(router, endpoints.recomputations, ({ query: { station, limit = usualLimit } }) => ({
    items: [...recomputations(journal, { ...(station === undefined ? {} : { station }), limit })],
  }));

  serve(router, endpoints.recompute, async ({ body }, response) => {
    const by = await actorOf(people, body, "recompute", clock.nowMs(), response);
    const { station, from: fromMs, to: toMs, reason } = body;
    const mistakes: Mistake[] = [];
    if (!site.stations.some(({ id }) => id === station)) {
      mistakes.push({ place: "body/station", found: station, expected: "a station of the settings" });
    }
    if (toMs <= fromMs) {
      mistakes.push({ place: "body/to", found: new Date(toMs).toISOString(), expected: "a time after from" });
    }
    if (mistakes.length > 0) throw mistaken(mistakes);
    const entry = journal.transaction(() => {
      const [fresh] = journal.append([
        recomputeAskedEntry(station, { fromMs, toMs, by: by.name, atMs: clock.nowMs(), reason }),
      ]);
      if (fresh === undefined)
        throw new Problem(409, "too-many-at-once", "something was asked of that station just now");
      const asked = { from: new Date(fromMs).toISOString(), to: new Date(toMs).toISOString() };
      access.record.append({ kind: "recompute-asked", subject: station, old: null, new: asked, reason, by });
      return fresh;
    });
    bus.announce("journal");
    bus.announce("samples");
    if (entry.kind !== "recompute-asked") throw new RangeError(`${entry.id} is no ask`);
    return wireRecompute(journal, entry);
  });
}
