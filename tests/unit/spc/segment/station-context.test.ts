import { expect, test } from "vitest";
import { zoneOffsets } from "../../../../collector/platform/settings/zone-offsets.ts";
import { heldAfter, shiftOf } from "../../../../spc/segment/station-context.ts";
import { at } from "./samples.ts";

const holding = new Set(["setup"]);

test("what is set up stays until another event says otherwise, word by word", () => {
  const first = heldAfter({}, at(0, "setup", 1, { part: "OFW-2107", tool: "T-4" }), holding);
  expect(heldAfter(first, at(9, "setup", 1, { tool: "T-5", cavity: "" }), holding)).toEqual({
    part: "OFW-2107",
    tool: "T-5",
  });
  expect(heldAfter(first, at(9, "setup", 1, { tool: "" }), holding)).toEqual({ part: "OFW-2107" });
});

test("other series, bad events and events without words set up nothing", () => {
  const held = { part: "A" };
  expect(heldAfter(held, at(1, "step", 1, { part: "B" }), holding)).toBe(held);
  expect(heldAfter(held, at(1, "setup", 1), holding)).toBe(held);
  expect(heldAfter(held, { ...at(1, "setup", 1, { part: "B" }), quality: "bad" }, holding)).toBe(held);
});

test("the shift is the one that began last on the site's clock, across midnight and a change of the clocks", () => {
  const names = ["early", "late", "night"];
  const clock = {
    shifts: names.map((name, i) => ({ name, fromMs: (6 + 8 * i) * 3_600_000 })),
    offsets: zoneOffsets("CET"),
  };
  const at = (iso: string) => shiftOf(Date.parse(iso), clock);
  expect(at("2026-11-25T04:59:59Z")).toBe("night");
  expect(at("2026-11-25T05:00:00Z")).toBe("early");
  expect(at("2026-07-01T04:00:00Z")).toBe("early");
  expect(at("2026-10-25T04:59:59Z")).toBe("night");
  expect(at("2026-11-25T20:59:59Z")).toBe("late");
  expect(shiftOf(0, { shifts: [], offsets: zoneOffsets("UTC") })).toBe(null);
});
