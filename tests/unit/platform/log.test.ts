import { expect, test } from "vitest";
import { openLog } from "../../../collector/platform/log.ts";

test("the log is one line of JSON an event, with an ISO time, and leaves out secrets and payloads", () => {
  const lines: string[] = [];
  const log = openLog("info", { write: (line) => void lines.push(line) });
  log.info({ broker: { password: "secret" }, payload: "bytes", code: "store-full" }, "the store failed");
  log.debug("not at this level");
  expect(lines).toHaveLength(1);
  const entry = JSON.parse(lines[0]!);
  expect(entry).toMatchObject({ msg: "the store failed", code: "store-full", payload: "[left out]" });
  expect(entry.time).toMatch(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z$/);
  expect(lines[0]).not.toContain("secret");
});
