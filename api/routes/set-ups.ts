import type { Router } from "express";
import { endpoints } from "../contract/endpoints.ts";
import type { ApiParts } from "../parts.ts";
import { actorOf } from "../people/actor.ts";
import type { People } from "../people/people.ts";
import { setUpEntries, setUpOne, setUpPage } from "../read-model/set-ups.ts";
import { serve } from "../serve.ts";
import { foundSetUp, setUpBook } from "../set-up-book.ts";

const usualLimit = 50;

export function setUpRoutes(router: Router, parts: ApiParts, people: People): void {
  const { site, journal, clock, model } = parts;
  const book = setUpBook(parts);
  const one = (id: string) => setUpOne(journal, id, foundSetUp(journal, id).station);

  serve(router, endpoints.setUpBook, () => setUpPage(site, journal, clock.nowMs()));

  serve(router, endpoints.setUps, ({ query: { station, limit = usualLimit } }) => ({
    items: [...setUpEntries(journal, { ...(station === undefined ? {} : { station }), limit })],
  }));

  serve(router, endpoints.saySetUp, async ({ body }, response) => {
    const by = await actorOf(people, body, "say-set-up", clock.nowMs(), response);
    const id = book.say(body, by);
    model.catchUp();
    return one(id);
  });

  serve(router, endpoints.correctSetUp, async ({ params: { id }, body }, response) => {
    foundSetUp(journal, id);
    const by = await actorOf(people, body, "say-set-up", clock.nowMs(), response);
    const made = book.correct(id, body, by);
    model.catchUp();
    return one(made);
  });
}
