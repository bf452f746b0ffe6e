import { spawnSync } from "node:child_process";
import { join } from "node:path";
import Database from "better-sqlite3";
import { afterEach, beforeEach, expect, test } from "vitest";
import { decisions } from "../../../api/decisions.ts";
import { memoryBus } from "../../../collector/platform/bus.ts";
import { systemClock } from "../../../collector/platform/clock.ts";
import { openJournalFile } from "../../../collector/store/embedded/embedded-journal.ts";
import { nodeOptions } from "../../system/running-process.ts";
import { temporaryFolder } from "../../temporary-folder.ts";

let folder: ReturnType<typeof temporaryFolder>;
const by = { id: "pe", name: "Process engineer", role: "process-engineer", device: "Firefox on Linux, 10.0.0.7" };

beforeEach(() => {
  folder = temporaryFolder();
  const { journal, record } = openJournalFile(folder.path);
  for (let n = 1; n <= 5; n += 1) {
    const limits = { old: { upper: n }, new: { upper: n + 1 } };
    record.append({ kind: "settings-changed", subject: "settings", ...limits, reason: `trial ${n}`, by });
  }
  journal.close();
});
afterEach(() => folder.remove());

/** What a person with the file and a database tool can do, triggers or not. */
function tampered(sql: string): void {
  const db = new Database(join(folder.path, "journal.sqlite"));
  for (const trigger of ["changed", "deleted"]) db.exec(`DROP TRIGGER change_is_never_${trigger}`);
  db.exec(sql);
  db.close();
}

function verify(...words: string[]) {
  const args = ["dist/api/cli/main.js", "verify-record", "--data", folder.path, ...words];
  return spawnSync(process.execPath, [...nodeOptions, ...args], { encoding: "utf8" });
}

test("rows can be neither changed nor deleted, nor put in out of order", () => {
  const db = new Database(join(folder.path, "journal.sqlite"));
  expect(() => db.exec("UPDATE change_record SET reason = 'x' WHERE n = 2")).toThrow(/never changed/);
  expect(() => db.exec("DELETE FROM change_record WHERE n = 5")).toThrow(/never deleted/);
  const copy =
    "INSERT INTO change_record SELECT 9, at_ms, clock, kind, subject, person, name, role, device, old, new, reason, 'b', 'h' FROM change_record WHERE n = 1";
  expect(() => db.exec(copy)).toThrow(/follows the newest/);
  db.close();
});

test("a record that nobody touched is whole, and holds the hash that was printed", () => {
  const { journal, record } = openJournalFile(folder.path);
  const { n, hash } = record.head();
  const verified = record.verify();
  journal.close();
  expect({ n, verified }).toEqual({ n: 5, verified: { ok: true, rows: 5, head: hash } });
  expect(verify("--head", hash)).toMatchObject({
    status: 0,
    stdout: `5 rows, none changed, and the journal says the same; head ${hash}\n`,
  });
  expect(verify("--head", "0".repeat(63)).status).toBe(2);
});

test.each([
  "at_ms",
  "clock",
  "kind",
  "subject",
  "person",
  "name",
  "role",
  "device",
  "old",
  "new",
  "reason",
  "before",
  "hash",
])("one byte changed in %s of a row: verify-record names the row", (column) => {
  tampered(
    column === "at_ms"
      ? "UPDATE change_record SET at_ms = at_ms + 1 WHERE n = 3"
      : `UPDATE change_record SET ${column} = substr(${column}, 1, length(${column}) - 1) || '~' WHERE n = 3`,
  );
  const { journal, record } = openJournalFile(folder.path);
  const verified = record.verify();
  journal.close();
  expect(verified).toMatchObject({ ok: false, n: 3 });
});

test("the command ends with 1 and names the row; a row taken out, and rows cut off, are found as well", () => {
  const { journal, record } = openJournalFile(folder.path);
  const { hash } = record.head();
  journal.close();
  tampered("UPDATE change_record SET reason = 'trial 4' WHERE n = 2");
  const said = verify();
  expect(said.status).toBe(1);
  expect(said.stderr).toContain("row 2 is not what its hash was made of");
  const db = new Database(join(folder.path, "journal.sqlite"));
  db.exec("UPDATE change_record SET reason = 'trial 2' WHERE n = 2; DELETE FROM change_record WHERE n = 5");
  db.close();
  expect(verify().status).toBe(0);
  expect(verify("--head", hash)).toMatchObject({ status: 1, stderr: expect.stringContaining("rows were cut off") });
  const again = new Database(join(folder.path, "journal.sqlite"));
  again.exec("DELETE FROM change_record WHERE n = 2");
  again.close();
  expect(verify().stderr).toContain("row 2 is missing");
});

const flag = "PR-01:mold.plateau:signal";

/** A flag taken and done as the product writes it: entry and row in one transaction. */
function decided(): void {
  const { journal, record } = openJournalFile(folder.path);
  const { take, done } = decisions({ journal, bus: memoryBus(), clock: systemClock, access: { record } });
  expect(take({ id: flag, station: "PR-01" }, by)).toBe("written");
  expect(done({ id: flag, station: "PR-01" }, by, "steam supply", "valve half shut")).toBe("written");
  journal.close();
}

function journalFile(work: (db: Database.Database) => void): void {
  const db = new Database(join(folder.path, "journal.sqlite"));
  for (const trigger of ["changed", "deleted"]) db.exec(`DROP TRIGGER IF EXISTS entry_is_never_${trigger}`);
  work(db);
  db.close();
}

test("a journal entry that was taken out, and one that was put in, are named with their row and id", () => {
  decided();
  expect(verify()).toMatchObject({ status: 0, stdout: expect.stringMatching(/^7 rows, .* says the same/) });
  journalFile((db) => db.exec("DELETE FROM entry WHERE kind = 'done'"));
  expect(verify()).toMatchObject({ status: 1, stderr: expect.stringContaining(`row 7 (flag-done ${flag}) speaks of`) });
  journalFile((db) =>
    db
      .prepare("INSERT INTO entry (id, kind, station, subject, at_ms, body) VALUES (?, 'done', 'PR-01', ?, 1, ?)")
      .run(`${flag}/done`, flag, JSON.stringify({ flag, by: "Nobody", atMs: 1, cause: "none", note: "" })),
  );
  const { stderr } = verify();
  expect(stderr).toContain("row 7");
  expect(stderr).toContain(`no row speaks of the journal's done ${flag}/done`);
});

test("one word changed in what the journal holds of a decision shows", () => {
  decided();
  journalFile((db) => db.exec("UPDATE entry SET body = replace(body, 'half shut', 'wide open') WHERE kind = 'done'"));
  expect(verify()).toMatchObject({ status: 1, stderr: expect.stringContaining("row 7 (flag-done") });
});
