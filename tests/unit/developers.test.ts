import { existsSync, readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { packageOwners } from "./package-owners.ts";

const text = readFileSync("DEVELOPERS.md", "utf8");

test("each package stands there with its owner folders and a reason", () => {
  const rows = [...(section("Packages") ?? "").matchAll(/^\| `([^`]+)` \| (.+?) \| (.+?) \|$/gm)];
  const table = Object.fromEntries(rows.map(([, name, owners]) => [name!, inTicks(owners!)]));
  expect(table).toEqual(packageOwners);
  for (const [, name, , reason] of rows) expect(reason!.length, name).toBeGreaterThan(5);
});

test("every folder and file that it names is there", () => {
  const top = /^(?:spc|collector|api|dashboard|simulator|tests|\.ci)\//;
  const named = inTicks(text).filter((words) => top.test(words) && !/[\s*:]/.test(words));
  expect(named.length).toBeGreaterThan(15);
  expect(named.filter((path) => !existsSync(path))).toEqual([]);
});

test("every npm command that README and DEVELOPERS.md name is there", () => {
  const { scripts } = JSON.parse(readFileSync("package.json", "utf8")) as { scripts: Record<string, string> };
  const prose = text + readFileSync("README.md", "utf8");
  const named = [...prose.matchAll(/\bnpm (?:run (?:-s )?([\w-]+)|(test|start)\b)/g)].map(
    ([, run, short]) => run ?? short!,
  );
  expect(named.length).toBeGreaterThan(8);
  expect(named.filter((name) => !(name in scripts))).toEqual([]);
});

function section(title: string): string | undefined {
  return new RegExp(`^## ${title}$([\\s\\S]*?)^## `, "m").exec(text)?.[1];
}

function inTicks(words: string): string[] {
  return [...words.matchAll(/`([^`\n]+)`/g)].map(([, inside]) => inside!);
}
