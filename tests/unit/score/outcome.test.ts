import { expect, test } from "vitest";
import { type ExpectedChart, outcomeOf } from "../../score/compare/outcome.ts";

const plateau: ExpectedChart = { characteristic: "PR-01:mold.plateau", side: "below", dueMs: 500 };
const rise: ExpectedChart = { characteristic: "PR-01:mold.rise", side: "above", dueMs: 300 };
const signal = (characteristic: string, side: "above" | "below", atMs: number) => ({ characteristic, side, atMs });

test("a signal by the time due is found, one after it late, none a miss", () => {
  const at = (atMs: number) => outcomeOf([plateau], [signal("PR-01:mold.plateau", "below", atMs)]).outcome;
  expect([at(1), at(500), at(501)]).toEqual(["found", "found", "late"]);
  expect(outcomeOf([plateau], [])).toEqual({ outcome: "missed", dueMs: 500, foundMs: null });
});

test("another feature, or the other side, is none of it", () => {
  const wrong = [signal("PR-02:mold.plateau", "below", 10), signal("PR-01:mold.plateau", "above", 10)];
  expect(outcomeOf([plateau], wrong).outcome).toBe("missed");
});

test("due is the first of its charts, and any of them may find it", () => {
  expect(outcomeOf([plateau, rise], [signal("PR-01:mold.plateau", "below", 299)])).toEqual({
    outcome: "found",
    dueMs: 300,
    foundMs: 299,
  });
  expect(outcomeOf([plateau, rise], [signal("PR-01:mold.plateau", "below", 400)]).outcome).toBe("late");
});

test("where nothing is due inside the score nothing is scored, found or not", () => {
  const never = { ...plateau, dueMs: null };
  expect(outcomeOf([never], []).outcome).toBe("censored");
  expect(outcomeOf([never], [signal("PR-01:mold.plateau", "below", 10)])).toMatchObject({
    outcome: "censored",
    foundMs: 10,
  });
});

test("an instrument's own check has its own time, and finds it as well as a chart", () => {
  expect(outcomeOf([], [], 900, 800).outcome).toBe("found");
  expect(outcomeOf([plateau], [], null, 600).outcome).toBe("late");
});
