import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { filesIn } from "./source-files.ts";

/**
 * Words that may not stand anywhere in the project, written in halves so that this file may hold them: how the product
 * came about, the machine it was built on, and claims that a tool which only informs must not make. Prose may quote
 * those last ones, to say that the product never makes them.
 */
const unwelcome: readonly { readonly halves: readonly [string, string]; readonly proseMay: boolean }[] = [
  { halves: ["tran", "script"], proseMay: false },
  { halves: ["seed ", "document"], proseMay: false },
  { halves: ["/wo", "rk/"], proseMay: false },
  { halves: ["sha", "red/"], proseMay: false },
  { halves: ["OK to", " pour"], proseMay: true },
  { halves: ["safe to", " pour"], proseMay: true },
];

const endings = [".ts", ".tsx", ".css", ".html", ".md", ".json", ".yaml", ".yml", ".csv", ".conf", "Dockerfile", "run"];
const files = filesIn(".", endings).filter((file) => file !== "package-lock.json");

test.each(unwelcome.map(({ halves, proseMay }) => [halves.join(""), proseMay] as const))(
  "nothing says %j (prose may quote it: %j)",
  (words, proseMay) => {
    const found = files
      .filter((file) => !(proseMay && file.endsWith(".md")))
      .filter((file) => wholeWord(words).test(readFileSync(file, "utf8")));
    expect(found).toEqual([]);
  },
);

test("the files that are searched are there", () => {
  expect(files.length).toBeGreaterThan(50);
});

/** Not inside a longer word: figures may well come from a transcription. */
function wholeWord(words: string): RegExp {
  const edge = (letter: string): string => (/\w/.test(letter) ? "\\b" : "");
  return new RegExp(`${edge(words[0]!)}${words}${edge(words.at(-1)!)}`, "i");
}
