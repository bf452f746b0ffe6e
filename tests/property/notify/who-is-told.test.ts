import fc from "fast-check";
import { expect, test } from "vitest";
import { type FlagTable, noFlags } from "../../../spc/flags/flag.ts";
import { applyEntries } from "../../../spc/flags/fold.ts";
import type { SignalRecord } from "../../../spc/model/journal-entry.ts";
import type { Told } from "../../../spc/model/message.ts";
import { type FlagLabel, labelOrder, type Signal } from "../../../spc/model/signal.ts";
import { withinHours } from "../../../spc/notify/hours.ts";
import { whoIsTold } from "../../../spc/notify/who-is-told.ts";

const joining = fc.record({
  value: fc.double({ min: 600, max: 737, noNaN: true }),
  label: fc.constantFrom<FlagLabel>("act-now", "look", "for-review"),
});
const sigma = 4;

function record({ value, label }: { readonly value: number; readonly label: FlagLabel }, n: number): SignalRecord {
  const signal: Signal = {
    ...{
      id: `s${n}`,
      characteristic: "PO-A:pour.stream",
      station: "PO-A",
      run: `PO-A:${n}`,
      rule: "outside-specification",
    },
    ...{ side: "below", on: "specification", limitSet: null, members: [], value, line: 738, z: null, atMs: n },
    ...{ flag: "f", label, doFirst: "Re-dip", says: "too cold" },
  };
  return { signal, foundMs: n, late: false };
}

test("whatever joins a flag, a person hears of it once, and again only for a higher label or a sigma further out", () => {
  fc.assert(
    fc.property(fc.array(joining, { minLength: 1, maxLength: 60 }), (signals) => {
      let table: FlagTable = noFlags;
      const told = new Map<string, Told>();
      const heard: Told[] = [];
      for (const [n, one] of signals.entries()) {
        const labelBefore = table.get("f")?.label ?? null;
        table = applyEntries(table, [{ kind: "signal", body: record(one, n) }]);
        const flag = table.get("f")!;
        const due = whoIsTold([{ id: "lead", labels: labelOrder, hours: "always", afterMs: 0 }], {
          ...{ flag, labelBefore, told, sigma, minuteOfDay: 0 },
        });
        expect(due.length).toBeLessThanOrEqual(1);
        if (due.length === 0) continue;
        const { label, worst } = flag;
        const now: Told = { label, value: worst.value, line: worst.line, on: worst.on, z: worst.z };
        told.set("lead", now);
        heard.push(now);
      }
      expect(heard.length).toBeGreaterThanOrEqual(1);
      for (const [n, now] of heard.entries()) {
        const before = heard[n - 1];
        if (before === undefined) continue;
        const higher = labelOrder.indexOf(now.label) < labelOrder.indexOf(before.label);
        expect(higher || before.value! - now.value! >= sigma * (1 - 1e-12)).toBe(true);
      }
      // Nothing that mattered was kept back: the last that was told is less than a sigma from the worst there is.
      const worst = table.get("f")!;
      expect(heard.at(-1)!.label).toBe(worst.label);
      expect(heard.at(-1)!.value! - worst.worst.value!).toBeLessThan(sigma);
    }),
  );
});

test("a span and the one that takes its turn make up the whole day, and no minute is in both", () => {
  const clock = fc.tuple(fc.integer({ min: 0, max: 23 }), fc.integer({ min: 0, max: 59 }));
  const text = ([hour, minute]: readonly [number, number]) =>
    `${String(hour).padStart(2, "0")}:${String(minute).padStart(2, "0")}`;
  fc.assert(
    fc.property(clock, clock, fc.integer({ min: 0, max: 1439 }), (from, to, minute) => {
      fc.pre(text(from) !== text(to));
      const mine = withinHours(`${text(from)}-${text(to)}`, minute);
      const theirs = withinHours(`${text(to)}-${text(from)}`, minute);
      expect(mine).toBe(!theirs);
    }),
  );
});
