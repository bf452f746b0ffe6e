import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";
import { start } from "../../system/running-process.ts";
import { temporaryFolder } from "../../temporary-folder.ts";

// The README's commands as a newcomer types them, but for the two names of files that are the newcomer's own.
const text = readFileSync("README.md", "utf8");
const folder = temporaryFolder();
afterAll(folder.remove);

const past = join(folder.path, "past.csv");
writeFileSync(past, /^```csv\n([\s\S]*?)^```$/m.exec(text)![1]!);
const data = join(folder.path, "data");

test("check finds the demo's settings right", async () => {
  const { code, said } = await typed(" -- check ");
  expect(said).toMatch(/right\. Ostrimvale Foamcast Works: 47 stations/);
  expect(code).toBe(0);
});

test("import-runs takes in the example of past runs, and twice changes nothing", async () => {
  expect((await typed(" -- import-runs past.csv")).said).toMatch(/^3 runs taken in, 0 were there already/m);
  expect((await typed(" -- import-runs past.csv")).said).toMatch(/^0 runs taken in, 3 were there already/m);
});

test("freeze-limits understands every word, and says for each chart why so few runs give no limits", async () => {
  const { code, said } = await typed(" -- freeze-limits ");
  expect(code).toBe(1);
  expect(said).toMatch(/^PR-01:mold\.plateau: no limits: .*2/m);
});

test("study draws the published series and says which day lies above", async () => {
  const { code, said } = await typed(" -- study ");
  expect(code).toBe(0);
  expect(said).toMatch(/point 19: 25\.36, above the upper limit 24\.897/);
});

test("each verb that it names tells more with --help", async () => {
  const verbs = new Set([...text.matchAll(/steadypour -- ([a-z-]+)/g)].map(([, verb]) => verb!));
  const named = [
    "account",
    "check",
    "freeze-limits",
    "import",
    "import-runs",
    "record",
    "replay",
    "study",
    "verify-record",
  ];
  expect([...verbs].sort()).toEqual([...named, "write-down"]);
  const help = start("npm", ["run", "-s", "steadypour", "--", "--help"]);
  expect(await help.exit()).toBe(0);
  for (const verb of verbs) expect(help.said()).toContain(verb);
});

/** Runs the README's shell block that holds these words, through npm as it stands there. */
async function typed(words: string): Promise<{ readonly code: number | null; readonly said: string }> {
  const blocks = [...text.matchAll(/^```sh\n([\s\S]*?)^```$/gm)].map(([, block]) => block!);
  const block = blocks.find((one) => one.includes(words));
  if (block === undefined) throw new Error(`the README has no command with ${words}`);
  const ours = block.replace(/\bpast\.csv\b/, past).replace(/--data \.\/data\b/, `--data ${data}`);
  const shell = start("bash", ["-c", ours]);
  const code = await shell.exit(60_000);
  return { code, said: shell.said() };
}
