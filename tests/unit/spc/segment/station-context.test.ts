import { expect, test } from "vitest";
import { heldAfter } from "../../../../spc/segment/station-context.ts";
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
