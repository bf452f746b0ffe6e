import type { Router } from "express";
import { endpoints } from "../contract/endpoints.ts";
import { defaultLimit } from "../contract/query.ts";
import { cursor, cursorNumber, page } from "../paging.ts";
import type { ApiParts } from "../parts.ts";
import { bookedLimits } from "../read-model/limit-book.ts";
import { serve } from "../serve.ts";

export function limitRoutes(router: Router, { model, clock }: ApiParts): void {
  serve(router, endpoints.limits, ({ query: { limit = defaultLimit, after } }) => {
    // New ones only ever come at the end, so a place in the list stays what it is.
    const from = after === undefined ? 0 : cursorNumber(after);
    const found = [...model.charted()].slice(from, from + limit + 1);
    const { items, next } = page(found, limit, () => cursor(from + limit));
    return { items: items.map((charted) => bookedLimits(model, charted, clock.nowMs())), next };
  });
}
