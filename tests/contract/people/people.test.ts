import { spawnSync } from "node:child_process";
import { beforeAll, expect, test } from "vitest";
import { type People, people } from "../../../api/people/people.ts";
import { hashPin } from "../../../api/people/pin.ts";
import { secretMatches } from "../../../api/people/secrets.ts";
import type { Account } from "../../../collector/store/people-book.ts";
import { nodeOptions } from "../../system/running-process.ts";

let two: People;
beforeAll(async () => {
  const [one, other] = await Promise.all([hashPin("1234"), hashPin("567890")]);
  const account = { role: "shift-lead" as const, password: null, areas: [], madeMs: 0, offMs: null };
  const all: readonly Account[] = [
    { id: "lead", name: "Early lead", pin: one, ...account },
    { id: "engineer", name: "Process engineer", pin: other, ...account },
    { id: "caster", name: "Caster", pin: null, ...account },
    { id: "left", name: "Who left", pin: one, ...account, offMs: 5 },
  ];
  two = people({ accounts: () => all, account: (id) => all.find((person) => person.id === id) });
});

test("people are told apart by their PINs, and nobody's PIN is shown", async () => {
  expect(two.list()[0]).toEqual({ id: "lead", name: "Early lead", role: "shift-lead", hasPin: true });
  expect(two.list()).toHaveLength(3);
  expect(await two.check("left", "1234", 0)).toEqual({ ok: false, why: "unknown-person" });
  expect(await two.check("lead", "1234", 0)).toMatchObject({ ok: true, person: { name: "Early lead" } });
  expect(await two.check("engineer", "1234", 0)).toEqual({ ok: false, why: "wrong-pin" });
  expect(await two.check("caster", "1234", 0)).toEqual({ ok: false, why: "no-pin" });
  expect(await two.check("nobody", "1234", 0)).toEqual({ ok: false, why: "unknown-person" });
});

test("after five wrong PINs, sent one by one or all at once, the right one waits a minute", async () => {
  const answers = await Promise.all(Array.from({ length: 8 }, () => two.check("lead", "9999", 1_000_000)));
  expect(answers.filter((one) => !one.ok && one.why === "wrong-pin")).toHaveLength(5);
  expect(await two.check("lead", "1234", 1_030_000)).toEqual({
    ok: false,
    why: "too-many-tries",
    againMs: 1_060_000,
  });
  expect(await two.check("lead", "1234", 1_060_000)).toMatchObject({ ok: true });
});

test("hash-pin reads the PIN from standard input and prints what the settings take", async () => {
  const ask = (input: string, ...words: string[]) =>
    spawnSync(process.execPath, [...nodeOptions, "dist/api/cli/main.js", "hash-pin", ...words], {
      input,
      encoding: "utf8",
    });
  const { status, stdout } = ask("2468\n");
  expect(status).toBe(0);
  expect(await secretMatches(stdout.trim(), "2468")).toBe(true);
  expect(await secretMatches(stdout.trim(), "2469")).toBe(false);
  for (const refused of [ask("12a4\n"), ask(""), ask("", "2468")]) {
    expect(refused).toMatchObject({ status: 2, stdout: "" });
  }
});
