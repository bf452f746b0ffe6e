import type { Router } from "express";
import { writtenDownId } from "../../collector/store/entries.ts";
import { endpoints } from "../contract/endpoints.ts";
import { handBook } from "../hand-book.ts";
import type { ApiParts } from "../parts.ts";
import { actorOf } from "../people/actor.ts";
import type { People } from "../people/people.ts";
import { Problem } from "../problem.ts";
import { handBookPage, wireWritten, writtenEntries } from "../read-model/written.ts";
import { serve } from "../serve.ts";

const usualLimit = 50;

export function handRoutes(router: Router, parts: ApiParts, people: People): void {
  const { site, journal, clock, model } = parts;
  const book = handBook(parts);
  const known = (id: string) => {
    const entry = journal.find(writtenDownId(id));
    if (entry?.kind !== "written-down") throw new Problem(404, "unknown-value", `nothing was written as ${id}`);
    return wireWritten(journal, entry);
  };

  serve(router, endpoints.handBook, () => handBookPage(site, journal, clock.nowMs()));

  serve(router, endpoints.written, ({ query: { station, limit = usualLimit } }) => ({
    items: writtenEntries(journal, { ...(station === undefined ? {} : { station }), limit }).map((entry) =>
      wireWritten(journal, entry),
    ),
  }));

  serve(router, endpoints.writeDown, async ({ body }, response) => {
    const by = await actorOf(people, body, "write-values", clock.nowMs(), response);
    const ids = book.write(body, by);
    model.catchUp();
    return { items: ids.map(known) };
  });

  serve(router, endpoints.correctWritten, async ({ params: { id }, body }, response) => {
    known(id);
    const by = await actorOf(people, body, "write-values", clock.nowMs(), response);
    book.correct(id, body, by);
    return known(id);
  });
}
