import type { Router } from "express";
import { endpoints } from "../contract/endpoints.ts";
import { defaultLimit } from "../contract/query.ts";
import { cursor, cursorNumber, page } from "../paging.ts";
import type { ApiParts } from "../parts.ts";
import { Problem } from "../problem.ts";
import { serve } from "../serve.ts";

export function characteristicRoutes(router: Router, { model, clock }: ApiParts): void {
  serve(router, endpoints.characteristics, ({ query: { limit = defaultLimit, after } }) => {
    // New ones only ever come at the end, so a place in the list stays what it is.
    const from = after === undefined ? 0 : cursorNumber(after);
    const ids = model.characteristicIds().slice(from, from + limit + 1);
    const { items, next } = page(ids, limit, () => cursor(from + limit));
    return { items: items.map((id) => known(model.characteristic(id, clock.nowMs()), id)), next };
  });
  serve(router, endpoints.characteristic, ({ params: { id } }) => known(model.characteristic(id, clock.nowMs()), id));
  serve(router, endpoints.points, ({ params: { id }, query }) => {
    const { limit = defaultLimit, order = "newest-first", after } = query;
    return known(model.points(id, { limit, order, after }, clock.nowMs()), id);
  });
}

function known<T>(found: T | undefined, id: string): T {
  if (found !== undefined) return found;
  throw new Problem(404, "unknown-characteristic", `no characteristic is named ${id}`);
}
