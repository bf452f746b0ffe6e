import { existsSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { withoutServiceStarts } from "../../system/without-service-starts.ts";

let folder: string;
let policy: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "steadypour-policy-"));
  policy = join(folder, "policy-rc.d");
});

afterEach(() => rmSync(folder, { recursive: true }));

test("while packages are installed the policy forbids starting services, and then it is gone", () => {
  withoutServiceStarts(() => {
    expect(readFileSync(policy, "utf8")).toContain("exit 101");
    expect(statSync(policy).mode & 0o111).not.toBe(0);
  }, policy);
  expect(existsSync(policy)).toBe(false);
});

test("a policy that was there before is put back, even when the installation fails", () => {
  writeFileSync(policy, "#!/bin/sh\nexit 0\n", { mode: 0o700 });
  const failing = (): never => {
    throw new Error("no network");
  };
  expect(() => withoutServiceStarts(failing, policy)).toThrow("no network");
  expect(readFileSync(policy, "utf8")).toContain("exit 0");
  expect(statSync(policy).mode & 0o777).toBe(0o700);
});
