import { expect, test } from "vitest";
import { pages } from "../../../../dashboard/client/paths.ts";
import { routeOf } from "../../../../dashboard/client/route.ts";
import { benchAddress } from "../../../../dashboard/model/bench-address.ts";

test("every page's own address leads to it, whatever stands in the id", () => {
  const id = "PO-A:pour.T1:OFW-2107";
  const flag = `${id}:20261125T120000000Z`;
  const url = new URL(pages.evidence(id, flag), "http://x");
  expect(routeOf(url.pathname, url.search)).toEqual({ page: "bench", id, search: url.search });
  expect(benchAddress(url.search)).toEqual({ span: null, flag, trial: null });
  expect(routeOf(pages.evidence("a/b?c"), "")).toEqual({ page: "bench", id: "a/b?c", search: "" });
  expect(routeOf(pages.run("PR-01:x"), "")).toEqual({ page: "run", id: "PR-01:x" });
  expect(routeOf("/", "")).toEqual({ page: "floor" });
  expect(routeOf("/flags/", "")).toEqual({ page: "flags" });
});

test("an address that is none of ours, or badly encoded, is unknown", () => {
  for (const path of ["/nowhere", "/chart/a", "/run/", "/bench/a/b", "/run/%zz"]) {
    expect(routeOf(path, "").page).toBe("unknown");
  }
});
