import fc from "fast-check";
import { expect, test } from "vitest";

test("property tests draw the same examples each time, unless somebody explores", () => {
  expect(fc.readConfigureGlobal().seed === undefined).toBe(process.env["EXPLORE"] === "1");
});
