import { randomUUID } from "node:crypto";
import type { Router } from "express";
import type { AccessKey } from "../../collector/store/people-book.ts";
import type { Scope } from "../contract/access.ts";
import { endpoints } from "../contract/endpoints.ts";
import type { WireAccessKey } from "../contract/people-wire.ts";
import type { ApiParts } from "../parts.ts";
import { newToken, tokenHash } from "../people/secrets.ts";
import { Problem } from "../problem.ts";
import { serve } from "../serve.ts";
import { actor } from "./accounts.ts";

/** Keys that no person holds: they are told once, and kept as hashes. */
export function keyRoutes(router: Router, { clock, journal, access }: ApiParts): void {
  const { people: book, record } = access;

  serve(router, endpoints.keys, () => ({ items: book.keys().map(shown) }));

  serve(router, endpoints.addKey, ({ body }, response) => {
    const by = actor(response);
    const { kind, name, reason } = body;
    const secret = newToken();
    const made: AccessKey = {
      ...{ id: randomUUID(), hash: tokenHash(secret), kind, name, madeMs: clock.nowMs(), usedMs: null, goneMs: null },
      page: body.kind === "display" ? body.page : null,
      scopes: body.kind === "token" ? [...new Set(body.scopes)] : [],
    };
    journal.transaction(() => {
      book.addKey(made);
      const { page, scopes } = made;
      record.append({ kind: "key-made", subject: made.id, old: null, new: { kind, name, page, scopes }, reason, by });
    });
    return { key: shown(made), secret };
  });

  serve(router, endpoints.revokeKey, ({ params: { id }, body: { reason } }, response) => {
    const by = actor(response);
    const nowMs = clock.nowMs();
    const key = book.keys().find((one) => one.id === id);
    if (key === undefined) throw new Problem(404, "unknown-key", `no key is named ${id}`);
    journal.transaction(() => {
      if (!book.revokeKey(id, nowMs)) throw new Problem(409, "key-gone", "that key was revoked already");
      const { kind, name } = key;
      record.append({ kind: "key-revoked", subject: id, old: { kind, name }, new: null, reason, by });
    });
    access.ended(id);
    return shown({ ...key, goneMs: nowMs });
  });
}

function shown({ id, kind, name, page, scopes, madeMs, usedMs, goneMs }: AccessKey): WireAccessKey {
  const at = (ms: number | null): string | null => (ms === null ? null : new Date(ms).toISOString());
  return {
    ...{ id, kind, name, page, scopes: [...scopes] as Scope[], madeAt: new Date(madeMs).toISOString() },
    ...{ usedAt: at(usedMs), revokedAt: at(goneMs) },
  };
}
