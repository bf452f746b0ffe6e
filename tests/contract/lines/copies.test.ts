import { appendFileSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { temporaryFolder } from "../../temporary-folder.ts";
import { type CopiedJournal, copiedJournal, entry, taker } from "./copy-rig.ts";

let folder: ReturnType<typeof temporaryFolder>;
let lines: CopiedJournal[];
beforeEach(() => {
  folder = temporaryFolder();
  lines = ["A", "B"].map((id) => copiedJournal(folder.path, id));
});
afterEach(() => {
  for (const line of lines) line.close();
  folder.remove();
});

const entriesFolder = (id: string): string => join(folder.path, "lines", id, "journal");
const segments = (id: string): readonly string[] => readdirSync(entriesFolder(id)).sort();
const textOf = (id: string): string =>
  segments(id)
    .map((name) => readFileSync(join(entriesFolder(id), name), "utf8"))
    .join("");
const copied = (id: string, count: number) => (): boolean => {
  try {
    return textOf(id).split("\n").length - 1 >= count;
  } catch {
    // Not begun yet.
    return false;
  }
};

/** True after so many asks: long enough for a first try. */
function looks(count: number): () => boolean {
  const asked = Array.from({ length: count });
  return () => asked.pop() === undefined && asked.length === 0;
}

async function writeAndCopy(line: CopiedJournal, from: number, to: number, words?: string): Promise<void> {
  const numbers = Array.from({ length: to - from }, (_, i) => from + i);
  line.journal().append(numbers.map((n) => entry(line.id, n, words)));
  await line.copyUntil(copied(line.id, to));
}

function takeAll(central: ReturnType<typeof taker>): void {
  while (central.takeSome()) void 0;
}

const found = (central: ReturnType<typeof taker>, id: string): readonly string[] =>
  central.journal.read({ station: id }).map((one) => one.id);
const expected = (id: string, count: number): readonly string[] =>
  Array.from({ length: count }, (_, n) => `${id}:${n}/taken`);

test("what two lines write stands in one journal, each in its order, over restarts on either side", async () => {
  await writeAndCopy(lines[0]!, 0, 700);
  await writeAndCopy(lines[1]!, 0, 30);
  const first = taker(folder.path, ["A", "B"]);
  takeAll(first);
  expect([found(first, "A"), found(first, "B")]).toEqual([expected("A", 700), expected("B", 30)]);
  first.journal.close();
  await writeAndCopy(lines[0]!, 700, 720);
  const second = taker(folder.path, ["A", "B"]);
  takeAll(second);
  expect(found(second, "A")).toEqual(expected("A", 720));
  takeAll(second);
  expect(second.journal.lastSeq()).toBe(750);
  second.journal.close();
});

test("a copy is only ever added to, also after a line that was cut off", async () => {
  await writeAndCopy(lines[0]!, 0, 10);
  const before = textOf("A");
  appendFileSync(join(entriesFolder("A"), segments("A").at(-1)!), '{"seq":11,"id":"half');
  await writeAndCopy(lines[0]!, 10, 20);
  expect(textOf("A").startsWith(before)).toBe(true);
  const central = taker(folder.path, ["A"]);
  takeAll(central);
  expect(found(central, "A")).toEqual(expected("A", 20));
  central.journal.close();
});

test("half a line that is still on its way is waited for", async () => {
  await writeAndCopy(lines[0]!, 0, 3);
  const whole = textOf("A");
  const file = join(entriesFolder("A"), segments("A")[0]!);
  const central = taker(folder.path, ["A"]);
  for (const cut of [whole.length - 1, whole.length - 40]) {
    writeFileSync(file, whole.slice(0, cut));
    takeAll(central);
    expect(found(central, "A")).toEqual(expected("A", 2));
    expect(central.states()[0]).toMatchObject({ damaged: null });
  }
  writeFileSync(file, whole);
  takeAll(central);
  expect(found(central, "A")).toEqual(expected("A", 3));
  central.journal.close();
});

test.each([
  ["an entry was changed", (text: string) => text.replace('"by":"x"', '"by":"y"'), 0],
  ["a line was taken out", (text: string) => text.split("\n").toSpliced(5, 1).join("\n"), 5],
  ["two lines changed places", (text: string) => swapped(text.split("\n")).join("\n"), 5],
  ["it begins anew", (text: string) => text + text, 10],
])(
  "of a copy in which %s nothing more is taken, what was taken stays, and other lines go on",
  async (_, change, good) => {
    await writeAndCopy(lines[0]!, 0, 10);
    await writeAndCopy(lines[1]!, 0, 4);
    const file = join(entriesFolder("A"), segments("A")[0]!);
    const whole = readFileSync(file, "utf8");
    expect(change(whole)).not.toBe(whole);
    writeFileSync(file, change(whole));
    const central = taker(folder.path, ["A", "B"]);
    takeAll(central);
    expect(found(central, "A")).toEqual(expected("A", good));
    expect(found(central, "B")).toEqual(expected("B", 4));
    expect(central.states().map(({ damaged }) => damaged)).toEqual([
      expect.stringContaining(`what follows entry ${good}`),
      null,
    ]);
    central.journal.close();
  },
);

function swapped(lines: readonly string[]): readonly string[] {
  return lines.with(5, lines[6]!).with(6, lines[5]!);
}

test("a line tells of its own stations alone", async () => {
  lines[0]!.journal().append([entry("A", 0), entry("B", 0, "not mine"), entry("A", 1)]);
  await lines[0]!.copyUntil(copied("A", 3));
  const central = taker(folder.path, ["A", "B"]);
  takeAll(central);
  expect([found(central, "A"), found(central, "B")]).toEqual([expected("A", 2), []]);
  central.journal.close();
});

test("a folder that is away, or no folder, stops nobody; what was missed is there when it is back", async () => {
  const central = taker(folder.path, ["A"]);
  takeAll(central);
  expect(central.states()[0]).toMatchObject({ awaySinceMs: null, damaged: null, head: null });
  await writeAndCopy(lines[0]!, 0, 5);
  takeAll(central);
  const away = join(folder.path, "away");
  renameSync(lines[0]!.folder, away);
  writeFileSync(lines[0]!.folder, "no folder");
  lines[0]!.journal().append([entry("A", 5)]);
  await lines[0]!.copyUntil(looks(20));
  takeAll(central);
  expect(found(central, "A")).toEqual(expected("A", 5));
  rmSync(lines[0]!.folder);
  renameSync(away, lines[0]!.folder);
  await writeAndCopy(lines[0]!, 6, 9);
  takeAll(central);
  expect(found(central, "A")).toEqual(expected("A", 9));
  central.journal.close();
});

test("the copy of another journal is not gone on with", async () => {
  await writeAndCopy(lines[0]!, 0, 5);
  const before = textOf("A");
  mkdirSync(join(folder.path, "other"));
  const other = copiedJournal(join(folder.path, "other"), "A");
  renameSync(lines[0]!.folder, other.folder);
  other.journal().append([entry("A", 77), entry("A", 78)]);
  await other.copyUntil(looks(20));
  const file = join(other.folder, "journal", readdirSync(join(other.folder, "journal"))[0]!);
  expect(readFileSync(file, "utf8")).toBe(before);
  other.close();
});
