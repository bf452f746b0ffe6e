import { afterEach, beforeEach, describe, expect, test } from "vitest";
import type { Journal } from "../../../collector/store/journal.ts";
import type { JournalEntry } from "../../../spc/model/journal-entry.ts";

export interface OpenJournal {
  readonly journal: Journal;
  /** A second one on the same data, as another process has it. */
  again(): Journal;
  remove(): void;
}

export function taken(id: string, changes: Partial<JournalEntry> = {}): JournalEntry {
  const body = { flag: id, by: "M. Ode", atMs: 1 };
  return { id, kind: "taken", station: "PR-01", subject: "flag-1", atMs: 1, body, ...changes } as JournalEntry;
}

/** What every journal must do. */
export function journalContract(name: string, open: () => OpenJournal): void {
  describe(`${name} keeps the journal contract`, () => {
    let opened: OpenJournal;
    let journal: Journal;
    beforeEach(() => {
      opened = open();
      journal = opened.journal;
    });
    afterEach(() => {
      journal.close();
      opened.remove();
    });
    const ids = (query: Parameters<Journal["read"]>[0]) => journal.read(query).map((entry) => entry.id);

    test("keeps the first entry of an id and returns only the new ones", () => {
      expect(journal.append([taken("a"), taken("b")]).map((e) => [e.id, e.seq])).toEqual([
        ["a", 1],
        ["b", 2],
      ]);
      const changed = taken("a", { atMs: 99 });
      expect(journal.append([changed, taken("c")]).map((e) => e.id)).toEqual(["c"]);
      expect(journal.find("a")?.atMs).toBe(1);
      expect(journal.find("d")).toBeUndefined();
      expect(ids({})).toEqual(["a", "b", "c"]);
      expect(journal.lastSeq()).toBe(journal.find("c")?.seq);
    });

    test("gives an entry back as it was appended", () => {
      const entry = taken("ä/ü:1", { body: { flag: "x", by: "“Ö”\n", atMs: 0.5 } as never });
      journal.append([entry]);
      expect(journal.read({})).toEqual([{ ...entry, seq: 1 }]);
    });

    test("finds by kind, station, subject, place and time, alone and together", () => {
      journal.append([
        taken("a", { station: "PR-01", subject: "s1", atMs: 30 }),
        taken("b", { station: "PR-02", subject: "s1", atMs: 20 }),
        taken("c", { station: "PR-01", subject: "s2", atMs: 10, kind: "done" } as never),
        taken("d", { station: "PR-01", subject: "s2", atMs: 40 }),
      ]);
      expect(ids({ kinds: ["done"] })).toEqual(["c"]);
      expect(ids({ kinds: ["done", "taken"], subject: "s2" })).toEqual(["c", "d"]);
      expect(ids({ kinds: [] })).toEqual([]);
      expect(ids({ station: "PR-01" })).toEqual(["a", "c", "d"]);
      expect(ids({ station: "PR-02", subject: "s2" })).toEqual([]);
      expect(ids({ station: "PR-01", kinds: ["taken"], orderBy: "time", newestFirst: true })).toEqual(["d", "a"]);
      expect(ids({ afterSeq: 1, beforeSeq: 4 })).toEqual(["b", "c"]);
      expect(ids({ fromMs: 20, toMs: 40 })).toEqual(["a", "b"]);
      expect(ids({ orderBy: "time" })).toEqual(["c", "b", "a", "d"]);
      expect(ids({ newestFirst: true, limit: 2 })).toEqual(["d", "c"]);
      expect(ids({ limit: 0 })).toEqual([]);
    });

    test("counts a kind up to a place, and names what it is about without repeats", () => {
      const points = [
        "PR-01:mold.rise:B",
        "PR-01:mold.rise:A",
        "PR-01:mold.rise",
        "PR-01:mold.rise:A",
        "PR-01:mold.riser",
      ];
      journal.append([
        ...points.map((subject, i) => taken(`p${i}`, { subject, kind: "point" } as never)),
        taken("other", { subject: "PR-01:mold.rise:C" }),
      ]);
      expect(journal.count("point", 3)).toBe(3);
      expect(journal.count("point", 99)).toBe(5);
      expect(journal.count("done", 99)).toBe(0);
      expect(journal.subjects("point", "PR-01:mold.rise:")).toEqual(["PR-01:mold.rise:A", "PR-01:mold.rise:B"]);
      expect(journal.subjects("point", "PR-02:")).toEqual([]);
    });

    test("finds imported runs among the others", () => {
      const run = (id: string, imported: boolean) =>
        taken(id, { kind: "run", body: { run: { id }, imported } } as never);
      journal.append([run("a", true), run("b", false), taken("c"), run("d", true), run("e", true)]);
      expect(ids({ importedRuns: true })).toEqual(["a", "d", "e"]);
      expect(ids({ importedRuns: true, afterSeq: 1, beforeSeq: 5, limit: 9 })).toEqual(["d"]);
    });

    test("keeps what a transaction wrote together, or nothing of it", () => {
      const result = journal.transaction(() => {
        journal.append([taken("a")]);
        journal.saveCheckpoint("PR-01", { cursor: 5 });
        return "done";
      });
      expect(result).toBe("done");
      expect(() =>
        journal.transaction(() => {
          journal.append([taken("b")]);
          journal.saveCheckpoint("PR-01", { cursor: 6 });
          throw new Error("stop here");
        }),
      ).toThrow("stop here");
      expect(ids({})).toEqual(["a"]);
      expect(journal.checkpoint("PR-01")).toEqual({ cursor: 5 });
      expect(journal.checkpoint("PR-02")).toBeUndefined();
    });

    test("shows a second process what the first appended, and the first what the second did", () => {
      const second = opened.again();
      journal.append([taken("a")]);
      expect(second.append([taken("a"), taken("b")]).map((e) => e.id)).toEqual(["b"]);
      expect(ids({})).toEqual(["a", "b"]);
      expect(journal.lastSeq()).toBe(second.lastSeq());
      second.close();
    });
  });
}
