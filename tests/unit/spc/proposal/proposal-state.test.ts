import { expect, test } from "vitest";
import type { EntryBody } from "../../../../spc/model/journal-entry.ts";
import type { PersonRef } from "../../../../spc/model/proposal.ts";
import { agreedLimits } from "../../../../spc/proposal/agreed-limits.ts";
import { applyToProposals, noProposals, standingOf } from "../../../../spc/proposal/proposal-state.ts";
import { limitsOf, plateau } from "../press-fixtures.ts";
import { proposedBy } from "./proposed.ts";

const engineer: PersonRef = { id: "pe", name: "Process engineer" };
const manager: PersonRef = { id: "wm", name: "Works manager" };
const on = plateau.id;

const agreed = (proposal: string, by: PersonRef): EntryBody => ({
  kind: "agreed",
  body: { proposal, characteristic: on, by, atMs: 3, limitSet: `${on}@1` },
});
const withdrawn = (proposal: string, by: PersonRef): EntryBody => ({
  kind: "withdrawn",
  body: { proposal, characteristic: on, by, atMs: 3, reason: "wrong window" },
});
const limits = (revision: number): EntryBody => ({ kind: "limits", body: limitsOf(plateau, revision) });

function stands(entries: readonly EntryBody[], id: string): string {
  const table = applyToProposals(noProposals, entries);
  return standingOf(table.proposals.get(id)!, table);
}

test("a proposal is open until a second person agrees", () => {
  const proposed = proposedBy(engineer, 1);
  expect(stands([proposed], `${on}~1`)).toBe("open");
  expect(stands([proposed, agreed(`${on}~1`, engineer)], `${on}~1`)).toBe("open");
  expect(stands([proposed, limits(1), agreed(`${on}~1`, manager)], `${on}~1`)).toBe("agreed");
});

test("somebody with another id and the same name is the same person", () => {
  const entries = [proposedBy(engineer, 1), agreed(`${on}~1`, { id: "pe2", name: " process ENGINEER " })];
  expect(stands(entries, `${on}~1`)).toBe("open");
});

test("a proposal is stale once other limits came into force, and only then", () => {
  const [first, second] = [proposedBy(engineer, 1), proposedBy(manager, 2)];
  expect(stands([first, second, limits(1)], `${on}~2`)).toBe("stale");
  expect(stands([limits(1), proposedBy(engineer, 1, { follows: `${on}@1` })], `${on}~1`)).toBe("open");
  expect(stands([limits(1), proposedBy(engineer, 1, { follows: `${on}@1` }), limits(2)], `${on}~1`)).toBe("stale");
});

test("what is said first of a proposal holds", () => {
  const proposed = proposedBy(engineer, 1);
  expect(stands([proposed, withdrawn(`${on}~1`, engineer), agreed(`${on}~1`, manager)], `${on}~1`)).toBe("withdrawn");
  expect(stands([proposed, agreed(`${on}~1`, manager), withdrawn(`${on}~1`, engineer)], `${on}~1`)).toBe("agreed");
  const table = applyToProposals(noProposals, [agreed(`${on}~9`, manager)]);
  expect(table).toBe(noProposals);
});

test("agreed limits are the proposed ones, unchanged, from the first moment after the newest judged point", () => {
  const { body } = proposedBy(engineer, 1);
  const at = { by: manager, atMs: 9_000, formerRevision: 4 };
  const set = agreedLimits(body, { ...at, judgedMs: 80_000_000 });
  expect(set).toMatchObject({ ...body.limits, revision: 5, id: `${on}@5`, effectiveFromMs: 80_000_001 });
  expect(set).toMatchObject({ proposedBy: "Process engineer", agreedBy: "Works manager", reason: body.reason });
  expect(agreedLimits(body, { ...at, judgedMs: null }).effectiveFromMs).toBe(body.limits.baseline.toMs + 1);
  expect(agreedLimits(body, { ...at, judgedMs: 0 }).effectiveFromMs).toBe(body.limits.baseline.toMs + 1);
});
