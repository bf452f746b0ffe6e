import { expect, test } from "vitest";
import type { WireBooked, WireProposal } from "../../../../api/contract/bench-wire.ts";
import { ageWords, bookFilter, bookSearch, filtered, refusedWords } from "../../../../dashboard/model/limits-words.ts";
import { siteTimes } from "../../../../dashboard/model/times.ts";

const times = siteTimes("CET");

function refused(code: string, detail = "the detail", theirs: WireProposal | null = null): string {
  const problem = { type: "about:blank", title: "", status: 409, detail, code };
  return refusedWords(problem, { person: "Early lead", kind: "agree", theirs, times });
}

test("every refusal of a decision has its own words, and a conflict says what the other person did", () => {
  const codes = [
    ...["unknown-person", "no-pin", "wrong-pin", "same-person", "too-many-tries", "numbers-changed", "already-agreed"],
    ...["already-withdrawn", "proposal-stale", "settings-changed", "not-proposable"],
  ];
  const words = codes.map((code) => refused(code));
  expect(new Set(words).size).toBe(codes.length);
  for (const text of words) expect(text).toMatch(/\.$/);
  expect(refused("wrong-pin")).toContain("Early lead");
  const by = { id: "x", name: "Night lead" };
  const theirs = { agreed: { by, at: "2026-11-25T12:00:00.000Z", limitSet: "y" }, withdrawn: null } as WireProposal;
  expect(refused("already-agreed", "", theirs)).toBe("Night lead agreed to this on 25 Nov 13:00. Yours was not sent.");
});

test("a refusal without words of ours says the server's, with the place", () => {
  const problem = { type: "", title: "", status: 400, detail: "the request is wrong", code: "bad-request" };
  const errors = [{ place: "body/reason", found: "nothing", expected: "some words" }];
  expect(refusedWords({ ...problem, errors }, { person: "x", kind: "propose", theirs: null, times })).toBe(
    "Not proposed: the request is wrong: body/reason: expected some words, found nothing.",
  );
});

test("the book's filters are in its address and leave out what does not fit", () => {
  for (const filter of [
    { station: null, state: null },
    { station: "PR-01", state: "retired" as const },
  ]) {
    expect(bookFilter(bookSearch(filter))).toEqual(filter);
  }
  expect(bookFilter("?state=nonsense")).toEqual({ station: null, state: null });
  const item = (station: string, states: readonly string[]): WireBooked =>
    ({
      characteristic: { station },
      sets: states.map((state) => ({ state })),
      missing: states.length === 0 ? { has: 14, needs: 25 } : null,
    }) as unknown as WireBooked;
  const items = [item("PR-01", ["working", "retired"]), item("PO-A", []), item("AO-1", ["working"])];
  expect(filtered(items, { station: null, state: "retired" }).map(({ sets }) => sets.length)).toEqual([1]);
  expect(
    filtered(items, { station: null, state: "missing" }).map(({ characteristic }) => characteristic.station),
  ).toEqual(["PO-A"]);
  expect(filtered(items, { station: "AO-1", state: null })).toEqual([items[2]]);
});

test("ages are whole days", () => {
  expect([0, 0.9, 1, 40.7].map(ageWords)).toEqual(["less than a day", "less than a day", "1 day", "40 days"]);
});
