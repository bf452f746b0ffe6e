import { expect, test } from "vitest";
import { shiftAt } from "../../../collector/platform/shift.ts";

const site = {
  zone: "Europe/Berlin",
  shifts: [
    { name: "early", from: "06:00" },
    { name: "late", from: "14:00" },
    { name: "night", from: "22:00" },
  ],
};
const at = (text: string) => Date.parse(text);

test.each([
  ["2026-11-25T06:00:00+01:00", "early", "2026-11-25T06:00:00+01:00"],
  ["2026-11-25T05:59:59.999+01:00", "night", "2026-11-24T22:00:00+01:00"],
  ["2026-11-25T15:20:31+01:00", "late", "2026-11-25T14:00:00+01:00"],
  ["2026-11-26T00:30:00+01:00", "night", "2026-11-25T22:00:00+01:00"],
])("at %s the %s shift rules since %s", (now, name, since) => {
  expect(shiftAt(site, at(now))).toEqual({ name, sinceMs: at(since) });
});

test("the night of the spring change began at ten on the winter clock, and lasts until six on the summer clock", () => {
  const since = at("2026-03-28T22:00:00+01:00");
  expect(shiftAt(site, at("2026-03-29T05:59:00+02:00"))).toEqual({ name: "night", sinceMs: since });
  expect(shiftAt(site, at("2026-03-29T06:00:00+02:00"))?.name).toBe("early");
});

test("the night of the autumn change has an hour more", () => {
  const since = at("2026-10-24T22:00:00+02:00");
  expect(shiftAt(site, at("2026-10-25T05:59:00+01:00"))).toEqual({ name: "night", sinceMs: since });
  expect(shiftAt(site, at("2026-10-25T06:00:00+01:00"))?.name).toBe("early");
});

test("with one shift a day it began yesterday until that time has come", () => {
  const one = { zone: "Asia/Kolkata", shifts: [{ name: "day", from: "08:00" }] };
  expect(shiftAt(one, at("2026-11-25T07:00:00+05:30"))?.sinceMs).toBe(at("2026-11-24T08:00:00+05:30"));
});

test("a site without shifts has none", () => {
  expect(shiftAt({ zone: "UTC", shifts: [] }, 0)).toBeNull();
});
