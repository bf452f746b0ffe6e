import fc from "fast-check";
import { expect, test } from "vitest";
import { proposalDecisions } from "../../../../api/proposals.ts";
import { pointEntry, signalEntry } from "../../../../collector/store/entries.ts";
import type { JournalEntry } from "../../../../spc/model/journal-entry.ts";
import type { PersonRef } from "../../../../spc/model/proposal.ts";
import { characteristicMonitor } from "../../../../spc/monitor/characteristic-monitor.ts";
import type { MonitorState } from "../../../../spc/monitor/monitor-state.ts";
import { applyToProposals, noProposals, samePerson } from "../../../../spc/proposal/proposal-state.ts";
import { memoryJournal } from "../../../fakes/memory-journal.ts";
import { memoryRecord } from "../../../fakes/memory-record.ts";
import { plateau } from "../../../unit/spc/press-fixtures.ts";
import { proposedBy } from "../../../unit/spc/proposal/proposed.ts";
import { normals } from "../seeded.ts";

const people: readonly PersonRef[] = [
  { id: "pe", name: "Process engineer" },
  { id: "wm", name: "Works manager" },
  // A second entry for the same name is no second person.
  { id: "pe2", name: "process engineer" },
];

type Act =
  | { readonly act: "point"; readonly value: number }
  | { readonly act: "done" }
  | { readonly act: "propose" | "agree" | "withdraw"; readonly by: number; readonly of: number };

const act: fc.Arbitrary<Act> = fc.oneof(
  {
    weight: 6,
    arbitrary: fc.record({
      act: fc.constant("point" as const),
      value: fc.double({ min: 0.85, max: 0.99, noNaN: true }),
    }),
  },
  { weight: 1, arbitrary: fc.record({ act: fc.constant("done" as const) }) },
  {
    weight: 3,
    arbitrary: fc.record({
      act: fc.constantFrom("propose" as const, "agree" as const, "withdraw" as const),
      by: fc.nat(people.length - 1),
      of: fc.nat(3),
    }),
  },
);

const actorOf = (by: PersonRef) => ({ ...by, role: "process-engineer", device: "a test" });

/** The station's fold, as far as one characteristic goes: points and signals out, limits and closed flags in. */
function plant() {
  const journal = memoryJournal();
  let nowMs = 1_000;
  const clock = { nowMs: () => nowMs, sleep: () => Promise.resolve() };
  const bus = { announce: () => undefined, on: () => () => undefined };
  const decide = proposalDecisions({ journal, bus, clock, access: { record: memoryRecord() } });
  const monitor = characteristicMonitor(plateau);
  let state: MonitorState = monitor.initial;
  let read = 0;
  let place = 0;
  const takeIn = (): void => {
    for (const entry of journal.read({ kinds: ["limits", "done"], afterSeq: read })) {
      if (entry.kind === "limits") state = monitor.step(state, { kind: "limits", set: entry.body }).state;
      if (entry.kind === "done") state = monitor.step(state, { kind: "done", flag: entry.body.flag }).state;
    }
    read = journal.lastSeq();
  };
  return {
    journal,
    limits: (): string => JSON.stringify([journal.read({ kinds: ["limits"] }), state.limits, state.next]),
    /** Sets that the monitor knows, whichever of them rules. */
    known: (): string => JSON.stringify([...(state.limits === null ? [] : [state.limits]), ...state.next]),
    point: (value: number): void => {
      takeIn();
      place += 1;
      nowMs += plateau.everyMs;
      const run = `PR-01:${place}`;
      const next = monitor.step(state, { kind: "point", run, atMs: nowMs, value });
      state = next.state;
      const entries = next.out.map((out): JournalEntry => {
        return out.kind === "point" ? pointEntry("PR-01", out.point) : signalEntry(out.signal, nowMs);
      });
      journal.append(entries);
    },
    done: (): void => {
      const { flag } = state;
      if (flag === null) return;
      const body = { flag, by: "Early lead", atMs: nowMs, cause: "steam supply", note: "" };
      journal.append([{ kind: "done", body, id: `${flag}/done`, station: "PR-01", subject: flag, atMs: nowMs }]);
      takeIn();
    },
    propose: (by: PersonRef, number: number) => {
      const { proposal: _id, number: _n, follows: _f, atMs: _at, ...rest } = proposedBy(by, 1).body;
      return decide.propose(plateau, { ...rest, reason: `window ${number}` }, actorOf(by));
    },
    agree: (by: PersonRef, number: number) => {
      const answer = decide.agree(plateau, `${plateau.id}~${number}`, actorOf(by));
      takeIn();
      return answer;
    },
    withdraw: (by: PersonRef, number: number) =>
      decide.withdraw(plateau, `${plateau.id}~${number}`, actorOf(by), "no longer"),
  };
}

test("whatever happens, limits change by an agreement of two people only, and by what they agreed on", () => {
  fc.assert(
    fc.property(fc.array(act, { maxLength: 60 }), (acts) => {
      const site = plant();
      for (const one of acts) {
        const before = site.journal.read({ kinds: ["limits"] });
        const known = JSON.stringify(before);
        if (one.act === "point") site.point(one.value);
        else if (one.act === "done") site.done();
        else {
          const proposals = site.journal.read({ kinds: ["proposed"] }).length;
          const number = one.of + 1;
          if (one.act !== "propose" && number > proposals) continue;
          const answer = site[one.act](people[one.by]!, number);
          if (one.act === "agree" && answer.ok && site.journal.read({ kinds: ["limits"] }).length > before.length)
            continue;
        }
        expect(JSON.stringify(site.journal.read({ kinds: ["limits"] }))).toBe(known);
      }
      checkRecord(site.journal.read({}));
    }),
    { numRuns: 150 },
  );
});

/** Every set in the record has two people, a reason, and the very numbers that were proposed. */
function checkRecord(entries: ReturnType<ReturnType<typeof memoryJournal>["read"]>): void {
  const table = applyToProposals(noProposals, entries);
  const sets = entries.flatMap((entry) => (entry.kind === "limits" ? [entry] : []));
  sets.forEach(({ body: set, seq }, i) => {
    const [state] = [...table.proposals.values()].filter(({ agreed }) => agreed?.limitSet === set.id);
    expect(state).toBeDefined();
    const { proposed, agreed } = state!;
    expect(samePerson(proposed.by, agreed!.by)).toBe(false);
    expect([set.proposedBy, set.agreedBy, set.reason]).toEqual([proposed.by.name, agreed!.by.name, proposed.reason]);
    expect(set).toMatchObject(proposed.limits);
    expect(set.revision).toBe(i + 1);
    // It never reaches back over points already judged.
    const judged = entries.filter((entry) => entry.kind === "point" && entry.seq < seq).map(({ atMs }) => atMs);
    expect(set.effectiveFromMs).toBeGreaterThan(Math.max(Number.NEGATIVE_INFINITY, ...judged));
    for (const entry of entries) {
      if (entry.kind === "point" && entry.seq < seq) expect(entry.body.limitSet).not.toBe(set.id);
    }
  });
}

test("ten thousand points in control leave the version and the values as they are, to the byte", () => {
  const site = plant();
  expect(site.propose(people[0]!, 1).ok).toBe(true);
  expect(site.agree(people[1]!, 1).ok).toBe(true);
  for (let i = 0; i < 400; i += 1) site.point(0.92);
  const before = site.limits();
  expect(JSON.parse(before)[1]).toMatchObject({ revision: 1 });
  const next = normals(3);
  for (let i = 0; i < 10_000; i += 1) site.point(0.92 + 0.004 * next());
  expect(site.limits()).toBe(before);
});

test("the same journal replayed gives the same proposals and the same limits", () => {
  fc.assert(
    fc.property(fc.array(act, { maxLength: 40 }), fc.nat(40), (acts, cut) => {
      const site = plant();
      for (const one of acts) {
        if (one.act === "point") site.point(one.value);
        else if (one.act === "done") site.done();
        else if (one.act === "propose" || one.of < site.journal.read({ kinds: ["proposed"] }).length) {
          site[one.act](people[one.by]!, one.of + 1);
        }
      }
      const entries = site.journal.read({});
      const whole = applyToProposals(noProposals, entries);
      const inTwo = applyToProposals(applyToProposals(noProposals, entries.slice(0, cut)), entries.slice(cut));
      expect([...inTwo.proposals]).toEqual([...whole.proposals]);
      expect([...inTwo.newest]).toEqual([...whole.newest]);
    }),
    { numRuns: 50 },
  );
});
