import { expect, test } from "vitest";
import { commonPasswordHashes } from "../../../../api/people/common-password-hashes.ts";
import { whyWeak } from "../../../../api/people/password.ts";

test("the list of stolen passwords is whole: ten thousand, none twice, in order", () => {
  const bytes = Buffer.from(commonPasswordHashes, "base64");
  expect(bytes.length).toBe(50_000);
  const hashes = Array.from({ length: 10_000 }, (_, at) => bytes.toString("hex", 5 * at, 5 * at + 5));
  expect(new Set(hashes).size).toBe(10_000);
  expect([...hashes].sort()).toEqual(hashes);
});

/** Of the list's source by their place: 1st, 29th, 3,000th, 10,000th; the last two no rule of our own would refuse. */
test.each(["123qweasdzxc", "QWEasdzxc123", "leavemealone", "chickenwing101", "DTHFDKflbvbhjdyf"])(
  "%s was stolen too often, in whatever letters",
  (password) => {
    expect(whyWeak(password, [])).toMatch(/stolen most often/);
  },
);

test.each([
  ["short", /5 characters/],
  ["x".repeat(129), /129 characters/],
  ["ababababababab", /few different characters/],
  ["kettle17kettle17", /repeats itself/],
  ["PressShop-2026", /little more than words/],
  ["Steadypour2026!", /little more than words/],
  ["early-lead-ostrimvale", /little more than words/],
])("%s would be guessed soon", (password, why) => {
  expect(whyWeak(password, ["early-lead", "Ostrimvale Foamcast Works", "Press shop"])).toMatch(why);
});

test.each([
  "white pattern under sand",
  "only small letters here",
  "пять белых моделей",
  "7 ".repeat(3) + "kettle over",
  "k".repeat(3) + "ettle over cold water, and sixty-four characters and more of it all",
])("%s is taken: no kind of character is asked for, and none refused", (password) => {
  expect(whyWeak(password, ["early-lead"])).toBeNull();
});
