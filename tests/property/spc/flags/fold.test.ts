import fc from "fast-check";
import { expect, test } from "vitest";
import { noFlags } from "../../../../spc/flags/flag.ts";
import { applyEntries, applyEntry } from "../../../../spc/flags/fold.ts";
import { isOpen } from "../../../../spc/flags/order.ts";
import type { EntryBody } from "../../../../spc/model/journal-entry.ts";
import { labelOrder } from "../../../../spc/model/signal.ts";

const flag = fc.constantFrom("f1", "f2", "f3");
const entry: fc.Arbitrary<EntryBody> = fc.oneof(
  fc
    .record({
      flag,
      run: fc.constantFrom("r1", "r2", "r3"),
      label: fc.constantFrom(...labelOrder),
      z: fc.integer(),
      from: fc.option(flag),
    })
    .map(
      ({ flag, run, label, z, from }): EntryBody => ({
        kind: "signal",
        body: {
          signal: {
            id: `${flag}/${run}`,
            characteristic: "PR-01:mold.plateau",
            station: "PR-01",
            run,
            rule: "beyond-limit",
            side: "above",
            on: "location",
            limitSet: "PR-01:mold.plateau@1",
            members: [run],
            value: z,
            line: 3,
            z,
            atMs: 0,
            flag,
            label,
            doFirst: null,
            says: "above its upper limit",
            ...(from === null || from === flag ? {} : { cameBackFrom: from }),
          },
          foundMs: 0,
          late: false,
        },
      }),
    ),
  fc
    .record({ flag, by: fc.constantFrom("Mira", "Jonas") })
    .map(({ flag, by }): EntryBody => ({ kind: "taken", body: { flag, by, atMs: 1 } })),
  fc.record({ flag, endedMs: fc.nat(9) }).map(({ flag, endedMs }): EntryBody => {
    return { kind: "unseen", body: { flag, station: "PR-01", shift: "night", endedMs, foundMs: 9 } };
  }),
  flag.map((id): EntryBody => ({ kind: "done", body: { flag: id, by: "Mira", atMs: 2, cause: "valve", note: "" } })),
);

test("one by one or all at once, in any portions, the table is the same", () => {
  fc.assert(
    fc.property(fc.array(entry, { maxLength: 40 }), fc.nat(40), (entries, cut) => {
      const whole = applyEntries(noFlags, entries);
      const parts = applyEntries(applyEntries(noFlags, entries.slice(0, cut)), entries.slice(cut));
      const single = entries.reduce(applyEntry, noFlags);
      expect([...parts]).toEqual([...whole]);
      expect([...single]).toEqual([...whole]);
    }),
  );
});

test("no entry lowers a label, opens a closed flag, or takes it from who took it first", () => {
  fc.assert(
    fc.property(fc.array(entry, { maxLength: 40 }), (entries) => {
      let table = noFlags;
      for (const one of entries) {
        const next = applyEntry(table, one);
        for (const [id, before] of table) {
          const after = next.get(id)!;
          expect(labelOrder.indexOf(after.label)).toBeLessThanOrEqual(labelOrder.indexOf(before.label));
          if (!isOpen(before)) expect(isOpen(after)).toBe(false);
          if (before.taken !== null) expect(after.taken).toEqual(before.taken);
          expect(after.number).toBe(before.number);
          expect(after.cameBack).toEqual(before.cameBack);
          if (before.unseen !== null) expect(after.unseen).toEqual(before.unseen);
          if (before.state !== "waiting") expect(after.unseen).toEqual(before.unseen);
        }
        for (const { cameBack, number } of next.values()) {
          if (cameBack === null) continue;
          expect(next.get(cameBack.flag)?.number).toBe(cameBack.number);
          expect(cameBack.number).toBeLessThan(number);
          expect(cameBack.times).toBeGreaterThan(0);
        }
        table = next;
      }
    }),
  );
});
