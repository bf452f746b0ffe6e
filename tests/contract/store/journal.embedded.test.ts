import { join } from "node:path";
import Database from "better-sqlite3";
import { expect, test } from "vitest";
import { openJournal } from "../../../collector/store/embedded/embedded-journal.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { journalContract, taken } from "./journal.contract.ts";

journalContract("the embedded journal", () => {
  const folder = temporaryFolder();
  return { journal: openJournal(folder.path), again: () => openJournal(folder.path), remove: folder.remove };
});

test("nobody changes or deletes an entry, not even past our code", () => {
  const folder = temporaryFolder();
  const journal = openJournal(folder.path);
  journal.append([taken("a")]);
  const file = new Database(join(folder.path, "journal.sqlite"));
  expect(() => file.exec("UPDATE entry SET body = '{}'")).toThrow("journal entries are never changed");
  expect(() => file.exec("DELETE FROM entry")).toThrow("journal entries are never deleted");
  file.close();
  journal.close();
  folder.remove();
});
