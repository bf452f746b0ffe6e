import { expect, test } from "vitest";
import { clockAheadMs, localHour, shiftAt } from "../../../simulator/site-clock.ts";

const hour = 3_600_000;

/** What ICU's time zone database makes of it. */
const wall = new Intl.DateTimeFormat("en-GB", { timeZone: "Europe/Vienna", hour: "2-digit", minute: "2-digit" });

test("the plant's clocks go as those of Central Europe do", () => {
  for (let t = Date.UTC(2026, 0, 1); t < Date.UTC(2028, 0, 1); t += 7 * hour + 60_000) {
    const minutes = Math.round(localHour(t) * 60);
    const text = `${String(Math.floor(minutes / 60)).padStart(2, "0")}:${String(minutes % 60).padStart(2, "0")}`;
    expect(text).toBe(wall.format(t));
  }
});

test("shifts are eight hours, but for the nights in which clocks change", () => {
  let t = Date.UTC(2026, 2, 27);
  const lengths = new Set<string>();
  while (t < Date.UTC(2026, 10, 2)) {
    const { name, startMs, endMs, label } = shiftAt(t);
    expect(startMs).toBeLessThanOrEqual(t);
    expect(endMs).toBeGreaterThan(t);
    expect(label.endsWith(name)).toBe(true);
    expect(localHour(startMs)).toBe({ early: 6, late: 14, night: 22 }[name]);
    lengths.add(`${name} ${(endMs - startMs) / hour}`);
    t = endMs;
  }
  expect([...lengths].sort()).toEqual(["early 8", "late 8", "night 7", "night 8", "night 9"]);
  expect(clockAheadMs(Date.UTC(2026, 9, 25, 0, 59))).toBe(2 * hour);
  expect(clockAheadMs(Date.UTC(2026, 9, 25, 1))).toBe(hour);
});
