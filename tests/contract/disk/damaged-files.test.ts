import { closeSync, copyFileSync, openSync, readFileSync, statSync, truncateSync, writeSync } from "node:fs";
import { join } from "node:path";
import Database from "better-sqlite3";
import { afterEach, beforeEach, expect, test } from "vitest";
import { openSampleStore } from "../../../collector/store/embedded/embedded-sample-store.ts";
import type { SampleStore } from "../../../collector/store/sample-store.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { incoming, places, pressure, reading } from "../store/incoming.ts";

// What a disk, a controller or a careless copy does to the files of a product that is not running.
const PAGE = 4_096;
const whole = { series: pressure, fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };

let folder: ReturnType<typeof temporaryFolder>;
let store: SampleStore | undefined;
beforeEach(() => {
  folder = temporaryFolder();
});
afterEach(() => {
  close();
  folder.remove();
});

const file = (): string => join(folder.path, "readings.sqlite");
const open = (): SampleStore => {
  store = openSampleStore(folder.path, places);
  return store;
};

const close = (): void => {
  store?.close();
  store = undefined;
};

/** Ten readings a second with the noise of a sensor that shows a thousandth of a bar, numbered as messages of 100. */
function plateau(fromMs: number, count: number) {
  return Array.from({ length: count / 100 }, (_, m) =>
    incoming(
      Array.from({ length: 100 }, (_, i) => {
        const at = 100 * m + i;
        return reading(fromMs + 100 * at, Math.round(900 + 40 * Math.sin(at)) / 1000);
      }),
      { sequence: m },
    ),
  );
}

function sealed(): SampleStore {
  const made = open();
  made.commit(plateau(0, 30_000));
  made.settle("PR-01", Number.MAX_SAFE_INTEGER);
  while (made.sealSome());
  return made;
}

function overwrite(path: string, at: number, bytes: Uint8Array): void {
  const fd = openSync(path, "r+");
  writeSync(fd, bytes, 0, bytes.length, at);
  closeSync(fd);
}

/** Page on which a block lies, found by the bytes of the block itself. */
function pageOf(bytes: Buffer): number {
  const at = readFileSync(file()).indexOf(bytes.subarray(0, 200));
  expect(at).toBeGreaterThan(0);
  return Math.floor(at / PAGE);
}

interface Block {
  readonly t0: number;
  readonly t1: number;
  readonly n: number;
  readonly bytes: Buffer;
}

function blocks(): readonly Block[] {
  const db = new Database(file(), { readonly: true });
  const all = db.prepare<[], Block>("SELECT t0, t1, n, bytes FROM block ORDER BY t0").all();
  db.close();
  return all;
}

test.each([
  ["zeroes", Buffer.alloc(PAGE)],
  ["something else", Buffer.alloc(PAGE, "\x0d not a page ")],
])(
  "a page of the disk that holds %s costs the block on it, which is named; the rest reads, also from afar",
  (_, junk) => {
    const made = sealed();
    const before = made.read(whole);
    made.close();
    const all = blocks();
    expect(all.length).toBeGreaterThan(3);
    const { t0, t1, n, bytes } = all[1]!;
    overwrite(file(), pageOf(bytes) * PAGE, junk);

    const damaged = open();
    expect(damaged.read(whole)).toEqual(before.filter(({ tMs }) => tMs < t0 || tMs > t1));
    const [lost] = damaged.lost();
    expect(damaged.lost()).toHaveLength(1);
    expect(lost).toMatchObject({ series: pressure, fromMs: t0 });
    expect(lost!.toMs).toBeGreaterThanOrEqual(t1);
    expect(lost!.toMs).toBeLessThan(all[2]!.t0);
    const columns = damaged.trend({ series: pressure, fromMs: 0, toMs: 6_000_000 }, 50);
    expect(columns.reduce((sum, column) => sum + column.n, 0)).toBe(before.length - n);
    expect(damaged.latest(pressure)).toEqual(before.at(-1));

    // It takes in what comes, and what comes late for the damaged time stays open beside it.
    damaged.commit([incoming([reading(t0 + 50, 1), reading(7_000_000, 1)])]);
    damaged.settle("PR-01", Number.MAX_SAFE_INTEGER);
    for (let turns = 0; damaged.sealSome(); turns += 1) expect(turns).toBeLessThan(100);
    expect(damaged.read({ ...whole, fromMs: t0, toMs: t1 }, { includeLate: true }).map(({ tMs }) => tMs)).toEqual([
      t0 + 50,
    ]);
  },
);

test("a database that was cut off is refused by its name, and nothing is written into it", () => {
  sealed();
  close();
  truncateSync(file(), Math.floor(statSync(file()).size / 2 / PAGE) * PAGE);
  const left = readFileSync(file());
  expect(() => {
    const cut = open();
    cut.commit([incoming([reading(9_000_000, 1)])]);
  }).toThrow(
    expect.objectContaining({ name: "Fault", code: "data-damaged", message: expect.stringContaining(file()) }),
  );
  expect(readFileSync(file()).equals(left)).toBe(true);
});

test("a database whose first page is gone is refused by its name", () => {
  sealed();
  close();
  overwrite(file(), 0, Buffer.alloc(PAGE, 0xa5));
  expect(open).toThrow(expect.objectContaining({ name: "Fault", code: "data-damaged" }));
});

/** The files as a kill leaves them: the last 30 commits stand in the write-ahead log alone. */
function killedWith(damage: (wal: string) => void): SampleStore {
  const made = open();
  const messages = plateau(0, 6_000);
  for (const message of messages.slice(0, 30)) made.commit([message]);
  const copy = temporaryFolder();
  const db = new Database(file());
  db.pragma("wal_checkpoint(TRUNCATE)");
  db.close();
  for (const message of messages.slice(30)) made.commit([message]);
  for (const name of ["readings.sqlite", "readings.sqlite-wal"]) {
    copyFileSync(join(folder.path, name), join(copy.path, name));
  }
  close();
  folder.remove();
  folder = copy;
  damage(join(copy.path, "readings.sqlite-wal"));
  return open();
}

/** How many messages are there, from the first on without a hole; fails when one is there in part. */
function messagesKept(kept: SampleStore): number {
  const found = kept.read(whole);
  expect(found.length % 100).toBe(0);
  expect(found.map(({ tMs }) => tMs)).toEqual(Array.from({ length: found.length }, (_, i) => 100 * i));
  return found.length / 100;
}

test("a write-ahead log as a kill left it loses nothing", () => {
  expect(messagesKept(killedWith(() => {}))).toBe(60);
});

test.each([
  ["cut off amid a page", (wal: string) => truncateSync(wal, Math.floor(statSync(wal).size / 2))],
  [
    "overwritten in its middle",
    (wal: string) => overwrite(wal, Math.floor(statSync(wal).size / 2), Buffer.alloc(64, 0xa5)),
  ],
  ["without its head", (wal: string) => overwrite(wal, 0, Buffer.alloc(32))],
])(
  "a write-ahead log %s keeps whole commits up to there, and the next message shows what is gone as a gap",
  (_, damage) => {
    const left = killedWith(damage);
    const kept = messagesKept(left);
    expect(kept).toBeGreaterThanOrEqual(30);
    expect(kept).toBeLessThan(60);
    left.commit([incoming([reading(8_000_000, 1)], { sequence: 60 })]);
    expect(left.sequenceGaps().get("GW-PR")).toBe(60 - kept);
  },
);
