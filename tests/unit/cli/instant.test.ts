import { expect, test } from "vitest";
import { instantMs } from "../../../api/cli/instant.ts";

test("a time with its offset is one instant", () => {
  expect(instantMs("2026-11-25T06:00:00Z")).toBe(Date.UTC(2026, 10, 25, 6));
  expect(instantMs("2026-11-25T07:00+01:00")).toBe(Date.UTC(2026, 10, 25, 6));
  expect(instantMs("2026-11-25T06:00:00.5Z")).toBe(Date.UTC(2026, 10, 25, 6, 0, 0, 500));
});

test.each([
  "",
  "2026-11-25",
  "2026-11-25T06:00:00",
  "25.11.2026 06:00",
  "2026-02-30T06:00:00Z",
  "2026-13-01T06:00:00Z",
  "2026-11-25T26:00:00Z",
  "1764057600000",
])("%j is no time with an offset", (text) => {
  expect(instantMs(text)).toBeUndefined();
});
