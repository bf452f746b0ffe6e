import { describe, expect, it, test } from "vitest";
import type { FlagState } from "../../../spc/flags/flag.ts";
import type { FlagLabel } from "../../../spc/model/signal.ts";
import type { Reachable } from "../../../spc/notify/who-is-told.ts";
import { RUNG_MS, rungOf, type Sent, whoIsRelieved, whoIsToldAgain } from "../../../spc/notify/who-is-told-again.ts";

const minuteMs = 60_000;
const sinceMs = 1_000_000;
const lead: Reachable = { id: "lead", labels: ["act-now", "look"], hours: "always", afterMs: 0 };
const manager: Reachable = { ...lead, id: "manager", labels: ["act-now"], afterMs: 15 * minuteMs };

/** All that is sent of a flag in some minutes if nobody takes it, as `person minute`. */
function climbed(
  persons: readonly Reachable[],
  label: FlagLabel,
  minutes: number,
  minuteOfDay = (minute: number) => minute,
): readonly string[] {
  const at = persons.filter(({ afterMs, labels }) => afterMs === 0 && labels.includes(label));
  const sent: Sent[] = at.map(({ id }) => ({ person: id, why: "opened", queuedMs: sinceMs }));
  for (let minute = 5; minute <= minutes; minute += 5) {
    // The product looks a moment later than it is due.
    const nowMs = sinceMs + minute * minuteMs + 700;
    const rung = rungOf({ state: "waiting", late: false, label } as FlagState, sinceMs, nowMs);
    if (rung === null) break;
    const due = whoIsToldAgain(persons, { label, sent, sinceMs, rung, minuteOfDay: minuteOfDay(minute) });
    sent.push(...due.map(({ person, why }) => ({ person, why, queuedMs: nowMs })));
  }
  return sent.map(({ person, why, queuedMs }) => `${person} ${why} ${Math.floor((queuedMs - sinceMs) / minuteMs)}`);
}

describe("what nobody takes", () => {
  it("act now: after 5 minutes, then each 10, six times; whoever stands in joins after 15", () => {
    const all = climbed([lead, manager], "act-now", 180);
    expect(all.filter((one) => one.startsWith("lead"))).toEqual([
      "lead opened 0",
      ...[5, 15, 25, 35, 45, 55].map((minute) => `lead again ${minute}`),
    ]);
    expect(all.filter((one) => one.startsWith("manager"))).toEqual([
      "manager opened 15",
      ...[20, 30, 40, 50, 60, 70].map((minute) => `manager again ${minute}`),
    ]);
  });

  it("look: once more after 30 minutes; review and instruments: never", () => {
    expect(climbed([lead, manager], "look", 180)).toEqual(["lead opened 0", "lead again 30"]);
    const all = { ...lead, labels: ["for-review", "instrument-fault"] as const };
    expect(climbed([all], "for-review", 180)).toEqual(["lead opened 0"]);
    expect(climbed([all], "instrument-fault", 180)).toEqual(["lead opened 0"]);
  });

  it("goes on to the next shift, and leaves alone whose hours are over", () => {
    const early: Reachable = { ...lead, id: "early", hours: "06:00-14:00" };
    const late: Reachable = { ...lead, id: "late", hours: "14:00-22:00", afterMs: 1 };
    // It opens at 13:50.
    const told = climbed([early, late], "act-now", 25, (minute) => 13 * 60 + 50 + minute);
    expect(told).toEqual(["early opened 0", "early again 5", "late opened 10", "late again 15", "late again 25"]);
  });
});

test.each<[string, Partial<FlagState>, number, number | null]>([
  ["at once", {}, 0, 0],
  ["a moment before the first", {}, RUNG_MS - 1, 0],
  ["after two hours", {}, 24 * RUNG_MS, 24],
  ["later still", {}, 25 * RUNG_MS, null],
  ["somebody has it", { state: "taken" }, RUNG_MS, null],
  ["it is closed", { state: "done" }, RUNG_MS, null],
  ["it was found too late to wake anybody", { late: true }, RUNG_MS, null],
  ["it waits for review", { label: "for-review" }, RUNG_MS, null],
])("%s", (_, change, laterMs, rung) => {
  const flag = { state: "waiting", late: false, label: "act-now", ...change } as FlagState;
  expect(rungOf(flag, sinceMs, sinceMs + laterMs)).toBe(rung);
});

test("who was told hears that somebody has it, once, and the one who has it does not", () => {
  const named = [
    { id: "lead", name: "Early lead" },
    { id: "manager", name: "Works manager" },
    { id: "night", name: "Night lead" },
  ];
  const taken = { state: "taken", taken: { by: "Early lead", atMs: 1 }, done: null } as const;
  const sent: readonly Sent[] = [
    { person: "lead", why: "opened", queuedMs: 0 },
    { person: "manager", why: "opened", queuedMs: 1 },
    { person: "manager", why: "again", queuedMs: 2 },
  ];
  expect(whoIsRelieved(named, taken, sent)).toEqual([{ person: "manager", why: "over" }]);
  const told: readonly Sent[] = [...sent, { person: "manager", why: "over", queuedMs: 3 }];
  expect(whoIsRelieved(named, taken, told)).toEqual([]);
  expect(whoIsRelieved(named, { ...taken, state: "waiting", taken: null }, sent)).toEqual([]);
  const done = { by: "Works manager", atMs: 2, cause: "trap", note: "" };
  expect(whoIsRelieved(named, { state: "done", taken: null, done }, sent)).toEqual([{ person: "lead", why: "over" }]);
});
