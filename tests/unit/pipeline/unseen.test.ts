import { expect, test } from "vitest";
import { unseenWatch } from "../../../collector/pipeline/unseen.ts";
import { shiftEndMs } from "../../../collector/platform/shift.ts";
import { signalEntry, silenceEntry } from "../../../collector/store/entries.ts";
import type { JournalEntry } from "../../../spc/model/journal-entry.ts";
import type { Signal } from "../../../spc/model/signal.ts";
import { memoryJournal } from "../../fakes/memory-journal.ts";

const site = {
  zone: "CET",
  shifts: [
    { name: "early", from: "06:00" },
    { name: "late", from: "14:00" },
    { name: "night", from: "22:00" },
  ],
};
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
  expect(unseenWatch({ ...site, shifts: [] }, journal).look(at("25T07:00"))).toEqual([]);
});

test("a shift ends where the next begins on the site's own clocks, the longer night of the change included", () => {
  expect(shiftEndMs(site, at("25T06:00"))).toBe(at("25T14:00"));
  expect(shiftEndMs(site, at("25T05:59"))).toBe(at("25T06:00"));
  const night = Date.parse("2026-10-24T22:30:00+02:00");
  expect(shiftEndMs(site, night)).toBe(Date.parse("2026-10-25T06:00:00+01:00"));
  expect(shiftEndMs({ ...site, shifts: [{ name: "day", from: "08:00" }] }, at("25T09:00"))).toBe(at("26T08:00"));
});
