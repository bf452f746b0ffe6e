import { spawn } from "node:child_process";
import { once } from "node:events";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import Database from "better-sqlite3";
import { afterEach, beforeEach, expect, test } from "vitest";
import { openJournal } from "../../../collector/store/embedded/embedded-journal.ts";
import { openDataFolder } from "../../../collector/store/embedded/open-data-folder.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { places } from "./incoming.ts";

let folder: ReturnType<typeof temporaryFolder>;
beforeEach(() => {
  folder = temporaryFolder();
});
afterEach(() => folder.remove());

test("a second product on the same folder is refused, and may start when the first has stopped", () => {
  const first = openDataFolder(folder.path, places);
  expect(() => openDataFolder(folder.path, places)).toThrow(
    expect.objectContaining({ name: "Fault", code: "data-folder-in-use", retryable: false }),
  );
  first.close();
  openDataFolder(folder.path, places).close();
});

test("another process that holds the folder is seen, and its kill leaves no lock behind", async () => {
  const database = JSON.stringify(join(folder.path, "collector.lock"));
  const script = `const D = require("better-sqlite3"); const d = new D(${database}); d.exec("BEGIN EXCLUSIVE");
    console.log("held"); setInterval(() => {}, 1000);`;
  const holder = spawn(process.execPath, ["-e", script], { stdio: ["ignore", "pipe", "inherit"] });
  await once(holder.stdout, "data");
  expect(() => openDataFolder(folder.path, places)).toThrow(expect.objectContaining({ code: "data-folder-in-use" }));
  holder.kill("SIGKILL");
  await once(holder, "exit");
  openDataFolder(folder.path, places).close();
});

test("a command may write the journal while the product runs", () => {
  const product = openDataFolder(folder.path, places);
  const command = openJournal(folder.path);
  const decision = { flag: "f", by: "M. Ode", atMs: 5 };
  command.append([{ id: "t1", kind: "taken", station: "PR-01", subject: "f", atMs: 5, body: decision }]);
  expect(product.journal.find("t1")?.body).toEqual(decision);
  command.close();
  product.close();
});

test.each(["readings.sqlite", "journal.sqlite"])("a newer %s is refused and left as it is", (name) => {
  openDataFolder(folder.path, places).close();
  const file = new Database(join(folder.path, name));
  file.pragma("user_version = 999");
  file.close();
  expect(() => openDataFolder(folder.path, places)).toThrow(
    expect.objectContaining({ code: "data-newer", message: expect.stringContaining("shape 999") }),
  );
  // The refusal let go of the lock as well.
  expect(() => openDataFolder(folder.path, places)).toThrow(expect.objectContaining({ code: "data-newer" }));
});

test("a file that is no database is named", () => {
  writeFileSync(join(folder.path, "readings.sqlite"), "not a database, but long enough to be read as one".repeat(99));
  expect(() => openDataFolder(folder.path, places)).toThrow(
    expect.objectContaining({ code: "data-damaged", message: expect.stringContaining("readings.sqlite") }),
  );
});

test("a folder that can not be made is named", () => {
  writeFileSync(join(folder.path, "file"), "");
  expect(() => openDataFolder(join(folder.path, "file", "data"), places)).toThrow(
    expect.objectContaining({ code: "data-folder-unusable" }),
  );
});

test("the files are written through to the disk and keep their readers apart from the writer", () => {
  const data = openDataFolder(folder.path, places);
  for (const name of ["readings.sqlite", "journal.sqlite"]) {
    const file = new Database(join(folder.path, name), { readonly: true });
    expect(file.pragma("journal_mode", { simple: true })).toBe("wal");
    file.close();
  }
  data.close();
});
