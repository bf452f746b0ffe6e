import { expect, test } from "vitest";
import { unseenWatch } from "../../../collector/pipeline/unseen.ts";
import { zoneOffsets } from "../../../collector/platform/settings/zone-offsets.ts";
import { signalEntry, silenceEntry } from "../../../collector/store/entries.ts";
import type { JournalEntry } from "../../../spc/model/journal-entry.ts";
import type { Signal } from "../../../spc/model/signal.ts";
import { memoryJournal } from "../../fakes/memory-journal.ts";

const shiftClock = {
  shifts: ["early", "late", "night"].map((name, i) => ({ name, fromMs: (6 + 8 * i) * 3_600_000 })),
  offsets: zoneOffsets("CET"),
};
const site = { shiftClock };
const at = (text: string): number => Date.parse(`2026-11-${text}:00+01:00`);

const signal = (flag: string, foundMs: number, atMs = foundMs): JournalEntry =>
  signalEntry(
    { id: `${flag}/${atMs}`, flag, station: "PR-01", characteristic: "PR-01:mold.plateau", atMs } as Signal,
    foundMs,
  );
const taken = (flag: string, atMs: number): JournalEntry => ({
  ...{ kind: "taken", id: `taken/${flag}`, station: "PR-01", subject: flag, atMs },
  body: { flag, by: "Night lead", atMs },
});

test("a flag that nobody took is unseen once its shift has ended, and said so once", () => {
  const journal = memoryJournal();
  const watch = unseenWatch(site, journal);
  journal.append([signal("f1", at("24T23:10"))]);
  expect(watch.look(at("25T05:59"))).toEqual([]);
  const found = watch.look(at("25T06:00"));
  expect(found).toMatchObject([
    {
      id: "unseen/f1",
      kind: "unseen",
      subject: "f1",
      body: { shift: "night", endedMs: at("25T06:00"), station: "PR-01" },
    },
  ]);
  journal.append(found);
  expect(watch.look(at("25T07:00"))).toEqual([]);
  expect(unseenWatch(site, journal).look(at("26T07:00"))).toEqual([]);
});

test("one that was taken or closed in time is not, though further signals join it", () => {
  const journal = memoryJournal();
  const watch = unseenWatch(site, journal);
  journal.append([signal("f1", at("25T07:00")), taken("f1", at("25T07:30")), signal("f1", at("25T13:00"), 5)]);
  journal.append([signal("f2", at("25T07:00"))]);
  const body = { flag: "f2", by: "Early lead", atMs: at("25T08:00"), cause: "valve", note: "" };
  journal.append([{ kind: "done", id: "done/f2", station: "PR-01", subject: "f2", atMs: body.atMs, body }]);
  expect(watch.look(at("25T14:30"))).toEqual([]);
});

test("an instrument's flag counts as well, and one from the past counts from when it was found", () => {
  const journal = memoryJournal();
  const watch = unseenWatch(site, journal);
  const silent = { flag: "GW-PR:silence:1", station: "PR-01", series: [], source: "GW-PR", wholeSource: true };
  journal.append([silenceEntry({ ...silent, sinceMs: at("25T13:00"), foundMs: at("25T13:10") })]);
  journal.append([signal("old", at("25T14:10"), at("20T03:00"))]);
  expect(watch.look(at("25T14:20")).map(({ subject }) => subject)).toEqual(["GW-PR:silence:1"]);
  expect(watch.look(at("25T22:00"))).toMatchObject([{ subject: "old", body: { shift: "late" } }]);
});

test("at a site without shifts nothing is ever unseen", () => {
  const journal = memoryJournal();
  journal.append([signal("f1", at("20T07:00"))]);
  expect(unseenWatch({ shiftClock: { ...shiftClock, shifts: [] } }, journal).look(at("25T07:00"))).toEqual([]);
});

test("what opened in free time is for the first shift after it", () => {
  const days = [0, 1, 2, 3, 4];
  const fiveDays = { shiftClock: { ...shiftClock, shifts: shiftClock.shifts.map((one) => ({ ...one, days })) } };
  const journal = memoryJournal();
  // A Saturday.
  journal.append([signal("f1", at("28T11:00"))]);
  const watch = unseenWatch(fiveDays, journal);
  expect(watch.look(at("30T13:59"))).toEqual([]);
  expect(watch.look(at("30T14:00"))).toMatchObject([{ body: { shift: "early", endedMs: at("30T14:00") } }]);
});
