import { spawnSync } from "node:child_process";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import Database from "better-sqlite3";
import { afterEach, beforeEach, expect, test } from "vitest";
import { type DataFolder, openDataFolder } from "../../../collector/store/embedded/open-data-folder.ts";
import { nodeOptions, startNode } from "../../system/running-process.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { incoming, places, pressure, reading } from "../store/incoming.ts";

let folder: ReturnType<typeof temporaryFolder>;
let data: string;
let copy: string;
let open: DataFolder[];
beforeEach(() => {
  folder = temporaryFolder();
  data = join(folder.path, "data");
  copy = join(folder.path, "copy");
  open = [];
});
afterEach(() => {
  for (const one of open) one.close();
  folder.remove();
});

function opened(path: string): DataFolder {
  const one = openDataFolder(path, places);
  open.push(one);
  return one;
}

function closeAll(): void {
  for (const one of open.splice(0)) one.close();
}

function steadypour(...words: readonly string[]): { readonly code: number | null; readonly err: string } {
  const { status, stderr } = spawnSync(process.execPath, [...nodeOptions, "dist/api/cli/main.js", ...words], {
    encoding: "utf8",
  });
  return { code: status, err: stderr };
}

const whole = { series: pressure, fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };

test("the drill: a backup made while readings are written and sealed restores to what had been committed", async () => {
  const kept = opened(data).samples;
  let written = 0;
  const write = (count: number): void => {
    kept.commit([
      incoming(Array.from({ length: count }, (_, i) => reading(100 * (written + i), (written + i) / 1000))),
    ]);
    written += count;
    kept.settle("PR-01", 100 * written);
    kept.sealSome();
  };
  for (let i = 0; i < 20; i += 1) write(2_000);
  const before = written;
  const running = startNode(["dist/api/cli/main.js", "backup", copy, "--data", data]);
  while (!running.ended()) {
    write(100);
    await new Promise((resolve) => setTimeout(resolve, 5));
  }
  expect(await running.exit(), running.said()).toBe(0);
  expect(existsSync(join(copy, "backup.json"))).toBe(true);
  closeAll();

  const again = join(folder.path, "again");
  expect(steadypour("restore", copy, "--data", again)).toEqual({ code: 0, err: "" });
  const restored = opened(again).samples.read(whole);
  expect(restored.length).toBeGreaterThanOrEqual(before);
  expect(restored.length).toBeLessThanOrEqual(written);
  restored.forEach(({ tMs, value }, i) => {
    if (tMs !== 100 * i || value !== i / 1000) throw new Error(`place ${i} holds ${value} at ${tMs}`);
  });
});

test("a product that is stopped can be backed up too, and its copy is the same", () => {
  opened(data).samples.commit([incoming([reading(1000, 1), reading(2000, 2)])]);
  closeAll();
  expect(steadypour("backup", copy, "--data", data)).toEqual({ code: 0, err: "" });
  const again = join(folder.path, "again");
  expect(steadypour("restore", copy, "--data", again).code).toBe(0);
  expect(opened(again).samples.read(whole)).toHaveLength(2);
});

test("nothing is ever overwritten, and what is no data folder is not backed up", () => {
  opened(data).samples.commit([incoming([reading(1000, 1)])]);
  closeAll();
  expect(steadypour("backup", data, "--data", data)).toMatchObject({ code: 1, err: expect.stringContaining("empty") });
  expect(steadypour("backup", copy, "--data", join(folder.path, "none"))).toMatchObject({
    code: 1,
    err: expect.stringContaining("no data folder"),
  });
  expect(steadypour("backup", copy, "--data", data).code).toBe(0);
  expect(steadypour("restore", copy, "--data", data)).toMatchObject({ code: 1, err: expect.stringContaining("empty") });
});

test("a backup that is unfinished, changed, damaged or of a later version is refused before anything is copied", () => {
  opened(data).samples.commit([incoming([reading(1000, 1)])]);
  closeAll();
  steadypour("backup", copy, "--data", data);
  const target = join(folder.path, "again");
  const refused = (expected: string): void => {
    expect(steadypour("restore", copy, "--data", target)).toEqual({
      code: 1,
      err: expect.stringContaining(expected),
    });
    expect(existsSync(target)).toBe(false);
  };
  const readings = join(copy, "readings.sqlite");
  const good = readFileSync(readings);
  const manifest = readFileSync(join(copy, "backup.json"), "utf8");

  writeFileSync(readings, Buffer.concat([good, Buffer.from("x")]));
  refused("hash differs");
  writeFileSync(readings, good);
  const db = new Database(readings);
  db.pragma("user_version = 99");
  db.close();
  refused("hash differs");
  writeFileSync(join(copy, "backup.json"), "{");
  refused("cannot be read");
  writeFileSync(join(copy, "backup.json"), manifest.replace("readings.sqlite", "readings.sqlit"));
  refused("holds no readings.sqlite");
  spawnSync("rm", [join(copy, "backup.json")]);
  refused("no finished backup");
});
