import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { UsageError } from "../../../api/cli/usage-error.ts";
import { writeDown } from "../../../api/cli/write-down.ts";
import { openJournal } from "../../../collector/store/embedded/embedded-journal.ts";
import type { StoredEntry } from "../../../spc/model/journal-entry.ts";
import { byHandSettings } from "../../by-hand-settings.ts";
import { temporaryFolder } from "../../temporary-folder.ts";

let folder: ReturnType<typeof temporaryFolder>;
let csv: string;
beforeEach(() => {
  folder = temporaryFolder();
  csv = join(folder.path, "values.csv");
  writeFileSync(join(folder.path, "site.yaml"), byHandSettings());
});
afterEach(() => folder.remove());

const header = "station,feature,taken,value,unit,by,part\n";
const good = `${header}PX,x,x,x,x,x,x\n`;
const line = (value: string, more: Partial<Record<"station" | "feature" | "taken" | "unit" | "by", string>> = {}) => {
  const given = { station: "PR-01", feature: "bead.density", taken: "2026-09-25T06:00:00Z", unit: "g/L", ...more };
  return `${given.station},${given.feature},${given.taken},${value},${given.unit},${given.by ?? "Early lead"},OFW-2107\n`;
};

async function said(text: string, ...words: readonly string[]): Promise<{ out: readonly string[]; refused: string }> {
  writeFileSync(csv, text);
  const out: string[] = [];
  const io = { print: (one: string) => void out.push(one), warn: (one: string) => void out.push(one) };
  const args = [csv, "--config", join(folder.path, "site.yaml"), "--data", join(folder.path, "data"), ...words];
  const error = await writeDown.run(args, io).catch((e: unknown) => e);
  if (error !== undefined && !(error instanceof UsageError)) throw error;
  return { out, refused: error === undefined ? "" : error.message };
}
function written(): readonly StoredEntry[] {
  const journal = openJournal(join(folder.path, "data"));
  const entries = journal.read({ kinds: ["written-down"] });
  journal.close();
  return entries;
}

test("lines of one time are the pieces of one entry; the same file again changes nothing", async () => {
  const text = header + line("22.1") + line("22.0") + line("0.0219", { unit: "kg/L", taken: "2026-09-25T07:00:00Z" });
  expect((await said(text)).out).toEqual(["2 entries written down, or there already"]);
  expect(written().map(({ body }) => body)).toMatchObject([
    { values: [22.1, 22], unit: "g/L", by: "Early lead", context: { part: "OFW-2107" } },
    { values: [expect.closeTo(21.9, 10)], unit: "g/L" },
  ]);
  await said(text);
  expect(written()).toHaveLength(2);
});

test("with any mistake nothing is written, and every one is named with its line", async () => {
  const text =
    header +
    line("22.1") +
    line("dry") +
    line("22", { station: "AO-1" }) +
    line("22", { taken: "25.9.2026" }) +
    line("1");
  const { refused } = await said(text);
  for (const place of [":3:41: value", ":4:1:", ":5:20: taken", ":6:1: 1 g/L"])
    expect(refused).toContain(`${csv}${place}`);
  expect(refused).toContain("--sure if it is so");
  expect(refused).not.toContain("body");
  expect(written()).toEqual([]);
});

test("what is beyond the plausible is taken with --sure; other values for a time that is written are left out", async () => {
  await said(header + line("50"), "--sure");
  const { out } = await said(header + line("22.1"));
  expect(out[0]).toContain("correct that entry instead");
  expect(out[1]).toBe("0 entries written down, or there already, 1 left as they stand");
  expect(written()).toMatchObject([{ body: { values: [50] } }]);
});

test.each([
  ["", "empty"],
  [good.replace("unit,", "units,"), "found the column units"],
  ["station;feature\n", "expected fields with commas"],
])("%j is refused", async (text, words) => {
  expect((await said(text)).refused).toContain(words);
});
