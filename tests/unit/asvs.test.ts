import { existsSync, readFileSync } from "node:fs";
import { expect, test } from "vitest";

/**
 * How many clauses each chapter of ASVS 5.0.0 has of levels 1 and 2, counted in the published
 * `OWASP_Application_Security_Verification_Standard_5.0.0_en.csv`: 70 and 183.
 */
const published: Readonly<Record<number, readonly [number, number]>> = {
  ...{ 1: [8, 19], 2: [4, 7], 3: [8, 11], 4: [2, 8], 5: [4, 5], 6: [13, 22], 7: [6, 12], 8: [4, 3], 9: [4, 3] },
  ...{ 10: [5, 24], 11: [3, 11], 12: [3, 6], 13: [1, 12], 14: [2, 7], 15: [3, 10], 16: [0, 16], 17: [0, 7] },
};

interface Answer {
  readonly clause: string;
  readonly level: number;
  readonly state: string;
  readonly how: string;
  readonly test: string;
}

const answers: readonly Answer[] = readFileSync("api/people/ASVS.md", "utf8")
  .split("\n")
  .filter((line) => /^\| \d/.test(line))
  .flatMap((line) => {
    const [, range = "", level, state = "", how = "", by = ""] = line.split("|").map((cell) => cell.trim());
    const [, section, from, to] = /^(\d+\.\d+)\.(\d+)(?:-(\d+))?$/.exec(range) ?? [];
    expect(section, line).toBeDefined();
    return Array.from({ length: Number(to ?? from) - Number(from) + 1 }, (_, n) => ({
      ...{ clause: `${section}.${Number(from) + n}`, level: Number(level), state, how, test: by },
    }));
  });
/** What level 2 asks beyond level 1 of the same clause has a row of its own and is no clause. */
const clauses = answers.filter(
  ({ clause, level }) => level === 1 || !answers.some((one) => one.level === 1 && one.clause === clause),
);

test("each clause of levels 1 and 2 has its answer, once", () => {
  const counted = Object.keys(published).map((chapter) =>
    [1, 2].map((level) => clauses.filter((one) => one.level === level && one.clause.startsWith(`${chapter}.`)).length),
  );
  expect(counted).toEqual(Object.values(published));
  expect(new Set(clauses.map(({ clause }) => clause)).size).toBe(253);
});

test("no clause of level 1 is open, and each open one of level 2 has its reason", () => {
  for (const { clause, level, state, how } of answers) {
    expect(["holds", "none", "open"], clause).toContain(state);
    if (state === "open") expect({ clause, level }).toEqual({ clause, level: 2 });
    expect(how.length, clause).toBeGreaterThan(state === "open" ? 40 : 2);
  }
});

test("each clause that holds names a test that is there", () => {
  const missing = answers.filter(
    ({ state, test: by }) => (state === "holds" || by !== "") && !existsSync(`tests/${by}.test.ts`),
  );
  expect(missing).toEqual([]);
});

test("the open ones stand in DEVELOPERS.md as well, and no others", () => {
  const text = readFileSync("DEVELOPERS.md", "utf8");
  const section = text.slice(text.indexOf("### OWASP ASVS"), text.indexOf("\n## ", text.indexOf("### OWASP ASVS")));
  const listed = [...section.matchAll(/^- (\d+\.\d+\.\d+):/gm)].map(([, clause]) => clause);
  expect(listed).toEqual(answers.filter(({ state }) => state === "open").map(({ clause }) => clause));
});
