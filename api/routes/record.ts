import type { Router } from "express";
import { endpoints } from "../contract/endpoints.ts";
import { changeKinds } from "../contract/people-wire.ts";
import { defaultLimit } from "../contract/query.ts";
import { cursor, cursorNumber, page } from "../paging.ts";
import type { ApiParts } from "../parts.ts";
import { callerOf, notAllowed } from "../people/actor.ts";
import { placesOf } from "../people/areas.ts";
import { serve } from "../serve.ts";

const ofProcess = Object.entries(changeKinds).flatMap(([kind, what]) => (what === "process" ? [kind] : []));

/** The Change Record, as much of it as the asker may read: their own rows, those of their area or of the whole process, or all. */
export function recordRoutes(router: Router, { site, access: { record, people } }: ApiParts): void {
  serve(router, endpoints.record, ({ query }, response) => {
    const { kind, person, subject, from, to, limit = defaultLimit, after } = query;
    const caller = callerOf(response);
    const own = caller.person?.id;
    const whole = caller.rights.includes("read-record");
    const process = caller.rights.includes("read-process-record");
    if (!whole && !process && person !== undefined && person !== own) throw notAllowed("read-record", caller.person);
    const kinds = kind === undefined ? null : [kind];
    const allowed =
      whole || person === own ? kinds : process ? (kinds ?? ofProcess).filter((one) => ofProcess.includes(one)) : kinds;
    const areas = own === undefined ? [] : (people.account(own)?.areas ?? []);
    const places = whole || !process || person === own ? null : placesOf(site, areas);
    const rows = record.read({
      ...(allowed === null ? {} : { kinds: allowed }),
      ...(whole || process ? (person === undefined ? {} : { person }) : { person: own ?? "" }),
      ...(places === null ? {} : { about: { places, orBy: own ?? "" } }),
      ...(subject === undefined ? {} : { subject }),
      ...(from === undefined ? {} : { fromMs: from }),
      ...(to === undefined ? {} : { toMs: to }),
      ...(after === undefined ? {} : { beforeN: cursorNumber(after) }),
      limit: limit + 1,
    });
    const { items, next } = page(rows, limit, ({ n }) => cursor(n));
    return {
      items: items.map(({ atMs, ...row }) => ({ ...row, at: new Date(atMs).toISOString(), by: { ...row.by } })),
      next,
    };
  });
  serve(router, endpoints.recordHead, () => record.head());
}
