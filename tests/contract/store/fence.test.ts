import { afterEach, beforeEach, expect, test } from "vitest";
import { openJournal } from "../../../collector/store/embedded/embedded-journal.ts";
import { canBeWritten, type Fence, holderOf } from "../../../collector/store/embedded/fence.ts";
import { type DataFolder, openDataFolder } from "../../../collector/store/embedded/open-data-folder.ts";
import type { Journal } from "../../../collector/store/journal.ts";
import type { MessageBook } from "../../../collector/store/message-book.ts";
import type { SampleStore } from "../../../collector/store/sample-store.ts";
import type { JournalEntry } from "../../../spc/model/journal-entry.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { incoming, places, pressure, reading } from "./incoming.ts";

let folder: ReturnType<typeof temporaryFolder>;
beforeEach(() => {
  folder = temporaryFolder();
});
afterEach(() => folder.remove());

interface Held extends Fence {
  readonly met: number[];
}

function fence(epoch: number): Held {
  const met: number[] = [];
  return { epoch, holder: JSON.stringify({ name: `c${epoch}` }), met, overtaken: (by) => void met.push(by) };
}

const open = (held: Fence): DataFolder => openDataFolder(folder.path, places, { fence: held });
const message = incoming([reading(1_000, 1)]);
const entry = (id: string): JournalEntry => ({
  id,
  kind: "taken",
  station: "PR-01",
  subject: "f",
  atMs: 5,
  body: { flag: "f", by: "M. Ode", atMs: 5 },
});
const delivery = { message: "m", device: "d", queuedMs: 1, expiresMs: 2 };
const address = { endpoint: "https://push.example/1", p256dh: "p", auth: "a" };
const range = { series: pressure, fromMs: 0, toMs: 10_000 };

type Writes<Port> = { readonly [Name in keyof Port]: ((port: Port) => unknown) | "reads" };

// A function that is new in a port does not compile here before it is said which it is.
const sampleWrites: Writes<SampleStore> = {
  commit: (store) => store.commit([message]),
  pruneSnapshots: (store) => store.pruneSnapshots(range, null),
  letGo: (store) => store.letGo("readings", range.series, 5_000),
  remember: (store) => store.remember("x", 1),
  forwarding: (store) => store.forwarding.again(range.series, 0, 1),
  // Writes when enough waits; the sealer's own transaction is behind the same fence.
  sealSome: "reads",
  settle: "reads",
  ...{ read: "reads", latest: "reads", trend: "reads", lost: "reads", seriesNames: "reads", sealed: "reads" },
  ...{
    usedBytes: "reads",
    letGoCount: "reads",
    keptFrom: "reads",
    newestBySource: "reads",
    lateSources: "reads",
    snapshots: "reads",
  },
  ...{ quarantine: "reads", counts: "reads", sequenceGaps: "reads", missingStretches: "reads", remembered: "reads" },
  count: "reads",
  close: "reads",
};
const journalWrites: Writes<Journal> = {
  append: (journal) => journal.append([entry("late")]),
  transaction: (journal) => journal.transaction(() => journal.append([entry("late too")])),
  saveCheckpoint: (journal) => journal.saveCheckpoint("x", 1),
  ...{
    read: "reads",
    find: "reads",
    lastSeq: "reads",
    count: "reads",
    subjects: "reads",
    checkpoint: "reads",
    close: "reads",
  },
};
const bookWrites: Writes<MessageBook> = {
  addDevice: (book) => book.addDevice({ id: "d", person: "p", name: "Phone", secret: "s", address, addedMs: 1 }),
  removeDevice: (book) => book.removeDevice("d", "service", 1),
  queue: (book) => book.queue([delivery]),
  attempt: (book) => book.attempt("m", "d", 1, 2),
  accepted: (book) => book.accepted("m", "d", 1, "201", 2),
  again: (book) => book.again("m", "d", "503", 2),
  failed: (book) => book.failed("m", "d", 1, "gone", null),
  reported: (book) => book.reported("m", "d", "shown", 1),
  ...{ device: "reads", devices: "reads", due: "reads", nextDueMs: "reads", ofMessages: "reads", ofDevice: "reads" },
  close: "reads",
};

function refusals<Port>(port: Port, writes: Writes<Port>): Record<string, string> {
  const tried = Object.entries<((port: Port) => unknown) | "reads">(writes).flatMap(([name, write]) => {
    if (write === "reads") return [];
    try {
      write(port);
      return [[name, "written"]];
    } catch (error) {
      return [[name, (error as { readonly code?: string }).code ?? String(error)]];
    }
  });
  return Object.fromEntries(tried);
}

test("who was overtaken writes nothing more, by whichever function, and hears of it", () => {
  const first = fence(1);
  const former = open(first);
  former.samples.commit([message]);
  former.journal.append([entry("before")]);
  const now = open(fence(2));
  const met = [
    refusals(former.samples, sampleWrites),
    refusals(former.journal, journalWrites),
    refusals(former.messages, bookWrites),
  ];
  expect(new Set(met.flatMap((each) => Object.values(each)))).toEqual(new Set(["lease-lost"]));
  expect(met.map((each) => Object.keys(each).length)).toEqual([5, 3, 8]);
  expect(new Set(first.met)).toEqual(new Set([2]));
  expect(() => former.close()).toThrow(expect.objectContaining({ code: "lease-lost" }));

  expect(now.samples.counts()).toMatchObject({ received: 1, stored: 1 });
  expect(now.journal.read({}).map(({ id }) => id)).toEqual(["before"]);
  expect(now.samples.remembered("x")).toBeUndefined();
  now.samples.commit([message]);
  expect(now.samples.counts()).toMatchObject({ received: 2, stored: 1, duplicate: 1 });
  expect(holderOf(folder.path)).toEqual({ epoch: 2, holder: '{"name":"c2"}' });
  now.close();
});

test("what people decide is written beside the fence, and a lower epoch opens nothing", () => {
  const now = open(fence(7));
  const api = openJournal(folder.path);
  api.append([entry("decided")]);
  expect(now.journal.find("decided")).toBeDefined();
  expect(() => open(fence(6))).toThrow(expect.objectContaining({ code: "lease-lost" }));
  now.journal.append([entry("still")]);
  api.close();
  now.close();
});

test("a take-over waits for a write that is under way, and that write stands", () => {
  const former = open(fence(1));
  former.journal.transaction(() => {
    former.journal.append([entry("under way")]);
    expect(canBeWritten(folder.path, 0)).toBe(false);
  });
  expect(canBeWritten(folder.path, 0)).toBe(true);
  const now = open(fence(2));
  expect(now.journal.find("under way")).toBeDefined();
  now.close();
  expect(() => former.close()).toThrow();
});
