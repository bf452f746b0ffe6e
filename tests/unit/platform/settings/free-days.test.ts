import { expect, test } from "vitest";
import { loadSettings } from "../../../../collector/platform/settings/load.ts";
import { mistakeLine } from "../../../../collector/platform/settings/mistake.ts";
import { siteText } from "./site-text.ts";

const shifts = 'shifts: [{ name: early, from: "06:00" }]\n';
const load = (free: string, before = shifts) => loadSettings(Buffer.from(`${before}freeDays: ${free}\n${siteText}`));

test("single days and spans are days of the site's calendar, each once", () => {
  const loaded = load("[2026-12-26, { from: 2026-12-24, to: 2026-12-27 }, 1970-01-01]");
  expect(loaded.ok && loaded.site.shiftClock.freeDays).toEqual([0, 20_811, 20_812, 20_813, 20_814]);
});

test("a site that names none has a clock without them", () => {
  const loaded = load("[]");
  expect(loaded.ok && Object.keys(loaded.site.shiftClock)).toEqual(["shifts", "offsets"]);
});

test.each([
  ["25.12.2026", "found 25.12.2026, expected a list"],
  ["[Christmas]", "freeDays[0]: found Christmas, expected a date such as 2026-12-25"],
  ["[2026-02-30]", "freeDays[0]: found 2026-02-30, expected a date such as 2026-12-25"],
  ["[7]", "freeDays[0]: found 7, expected text, or a group of keys"],
  ["[{ from: 2026-12-24 }]", "freeDays[0].to: found nothing, expected text"],
  [
    "[{ from: 2027-01-03, to: 2026-12-24 }]",
    "freeDays[0]: found a group of keys, expected a first day that is not after the last",
  ],
  [
    "[{ from: 2026-12-24, to: 2028-01-03 }]",
    "freeDays[0]: found a group of keys, expected no more than 62 days from the first to the last",
  ],
])("%s is refused", (free, words) => {
  const loaded = load(free);
  expect(loaded.ok ? [] : loaded.mistakes.map((one) => mistakeLine("site.yaml", one))).toEqual([
    expect.stringContaining(words),
  ]);
});

test("free days where no shift is named say nothing, and are refused", () => {
  const loaded = load("[2026-12-26]", "");
  expect(loaded.ok ? [] : loaded.mistakes.map(({ path, expected }) => ({ path, expected }))).toEqual([
    { path: "freeDays", expected: "none where no shifts are named" },
  ]);
});
