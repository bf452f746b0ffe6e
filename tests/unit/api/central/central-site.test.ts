import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { centralSite, lineMarks, linesIn } from "../../../../api/central/central-site.ts";
import { temporaryFolder } from "../../../temporary-folder.ts";
import { writeLine } from "./line-folder.ts";

let folder: ReturnType<typeof temporaryFolder>;
beforeEach(() => {
  folder = temporaryFolder();
});
afterEach(() => folder.remove());

const line = (id: string, name: string, source: string): void => writeLine(folder.path, id, name, source);

test("lines of a folder become one site, whose name, zone and people are the office's own", () => {
  line("a", "Line A", "GW-A");
  line("b", "Line B", "GW-B");
  mkdirSync(join(folder.path, "not yet a line"));
  const { lines, unread } = linesIn(folder.path);
  expect(unread).toEqual([]);
  expect(lines.map(({ id, site }) => [id, site.name])).toEqual([
    ["a", "Line A"],
    ["b", "Line B"],
  ]);
  const own = { ...lines[0]!.site, name: "Office", messages: { contact: "mailto:x@plant.example" } } as never;
  const site = centralSite(own, lines);
  expect(site.name).toBe("Office");
  expect(site.lines.map(({ id }) => id)).toEqual(["a", "b"]);
  expect(site.sources.map(({ id }) => id)).toEqual(["GW-A", "GW-B"]);
  expect(site.causes).toEqual(["worn", "bent"]);
  expect(site.messages).toBeNull();
});

test("a line whose settings cannot be read hides no other", () => {
  line("a", "Line A", "GW-A");
  line("b", "Line B", "GW-B");
  writeFileSync(join(folder.path, "b", "site.yaml"), "site: { name: 7 }");
  const { lines, unread } = linesIn(folder.path);
  expect(lines.map(({ id }) => id)).toEqual(["a"]);
  expect(unread).toEqual([{ id: "b", words: expect.stringContaining(join("b", "site.yaml")) }]);
  expect([...lineMarks(folder.path)().keys()]).toEqual(["a", "b"]);
});

test("what two lines both call theirs is told whole, and nothing is shown", () => {
  line("a", "Line", "GW");
  line("b", "Line", "GW");
  expect(() => linesIn(folder.path)).toThrow(
    expect.objectContaining({
      code: "lines-collide",
      message: "the lines a and b both have the site name Line\nthe lines a and b both have the source GW",
    }),
  );
});

test("a folder that is not there is a mistake of the environment", () => {
  expect(() => linesIn(join(folder.path, "none"))).toThrow(expect.objectContaining({ code: "environment-invalid" }));
});
