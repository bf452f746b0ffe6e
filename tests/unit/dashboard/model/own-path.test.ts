import { expect, test } from "vitest";
import { ownPath } from "../../../../dashboard/model/own-path.ts";

const origin = "http://plant.example:8080";

test.each([
  ["/flags", "/flags"],
  ["/bench/PR-01:mold.plateau?flag=1#points", "/bench/PR-01:mold.plateau?flag=1#points"],
  ["/bench/a%2Fb", "/bench/a%2Fb"],
])("%j is a page of ours", (given, path) => {
  expect(ownPath(given, origin)).toBe(path);
});

test.each([
  null,
  "",
  "flags",
  "//elsewhere.example",
  "/\\elsewhere.example",
  "/\t/elsewhere.example",
  "/\n\\elsewhere.example",
  "/.//elsewhere.example",
  "https://elsewhere.example",
  "javascript:alert(1)",
  "/sign-in?to=/flags",
  "/welcome",
])("%j leads nowhere but to the Floor", (given) => {
  expect(ownPath(given, origin)).toBe("/");
});
