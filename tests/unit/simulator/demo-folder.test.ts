import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { type DemoFolder, markPrepared, openDemoFolder } from "../../../simulator/demo-folder.ts";
import { temporaryFolder } from "../../temporary-folder.ts";

const now = Date.UTC(2026, 10, 25, 8);
let folder = temporaryFolder();
beforeEach(() => {
  folder = temporaryFolder();
});
afterEach(() => folder.remove());

function opened(firstMs: number): DemoFolder {
  const found = openDemoFolder(join(folder.path, "demo"), { seed: 7, firstMs });
  if (!found.ok) throw new Error(found.words);
  return found.folder;
}

function refused(text: string): string {
  writeFileSync(join(folder.path, "plant.json"), text);
  const found = openDemoFolder(folder.path, { seed: 7, firstMs: now });
  return found.ok ? "opened" : found.words;
}

test("the plant keeps its seed and first instant from start to start", () => {
  expect(opened(now)).toMatchObject({ key: { seed: 7, firstMs: now }, prepared: false });
  expect(opened(now + 5000)).toMatchObject({ key: { seed: 7, firstMs: now }, prepared: false });
});

test("what was prepared once is not prepared again", () => {
  markPrepared(opened(now));
  expect(opened(now + 5000)).toMatchObject({ key: { seed: 7, firstMs: now }, prepared: true });
});

test("a folder keeps the week that it was begun with, and says so to who asks for another", () => {
  const path = join(folder.path, "demo");
  openDemoFolder(path, { seed: 7, firstMs: now, week: 5 });
  expect(opened(now)).toMatchObject({ key: { seed: 7, firstMs: now, week: 5 } });
  expect(openDemoFolder(path, { seed: 7, firstMs: now }, 7)).toMatchObject({
    ok: false,
    words: expect.stringMatching(/works 5 days a week.*STEADYPOUR_DATA/),
  });
});

test("a folder of something else is left alone", () => {
  writeFileSync(join(folder.path, "letters.txt"), "");
  const found = openDemoFolder(folder.path, { seed: 7, firstMs: now });
  expect(found).toMatchObject({ ok: false, words: expect.stringContaining("holds something that no demo put there") });
});

test("a folder of another version of the demo is named, with what to do", () => {
  expect(refused(`{"format":2,"seed":7}`)).toMatch(/another version.*format 2, this one knows 1.*STEADYPOUR_DATA/);
});

test.each(["", "null", "{}", `{"format":1,"seed":7,"firstInstant":"once","prepared":true}`])(
  "a plant.json of %s is refused",
  (text) => {
    expect(refused(text)).toMatch(/plant\.json cannot be read/);
  },
);
