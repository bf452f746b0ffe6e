import { expect, test } from "vitest";
import { silenceCause } from "../../../../spc/health/gateway-silence.ts";

const among = (...silent: readonly string[]) => ({
  spoke: ["a", "b", "c"],
  isSilent: (one: string) => silent.includes(one),
});

test("all silent and nothing else from the source: the gateway, once", () => {
  const cause = silenceCause({ ...among("a", "b", "c"), sourceQuiet: true });
  expect(cause).toEqual({ kind: "gateway", silent: ["a", "b", "c"] });
});

test("some silent and the source quiet: wait for the slowest rather than name them one by one", () => {
  expect(silenceCause({ ...among("a", "b"), sourceQuiet: true })).toEqual({ kind: "wait" });
});

test("some silent while others speak: each by itself", () => {
  expect(silenceCause({ ...among("b"), sourceQuiet: false })).toEqual({ kind: "instruments", silent: ["b"] });
});

test("nobody silent is nothing, and the only instrument of a source speaks for itself", () => {
  expect(silenceCause({ ...among(), sourceQuiet: true })).toEqual({ kind: "none" });
  expect(silenceCause({ spoke: ["a"], isSilent: () => true, sourceQuiet: true }).kind).toBe("instruments");
});
