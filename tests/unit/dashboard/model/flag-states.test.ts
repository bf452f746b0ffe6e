import { expect, test } from "vitest";
import { oursMayBeWrong, wrongClocks } from "../../../../dashboard/model/clocks.ts";
import {
  cameBackWords,
  historyWords,
  ruleWords,
  timeWords,
  unseenWords,
} from "../../../../dashboard/model/flag-words.ts";
import { floodNow } from "../../../../dashboard/model/flood.ts";
import { ruleIds } from "../../../../spc/rules/rule-ids.ts";
import { flag, iso, noonMs } from "../wire-samples.ts";

const minute = 60_000;

test("a flag that is back names the one before it, and how often in a row", () => {
  const back = (times: number) => cameBackWords({ cameBack: { flag: "f", number: 7, times } });
  expect(cameBackWords(flag())).toBeNull();
  expect(back(1)).toBe("came back after flag 7");
  expect(back(2)).toBe("came back a 2nd time, after flag 7");
  expect(back(3)).toBe("came back a 3rd time, after flag 7");
  expect(back(12)).toBe("came back a 12th time, after flag 7");
  expect(back(21)).toBe("came back a 21st time, after flag 7");
});

test("a flag that outlived its shift says whose it was, and goes on saying so when somebody has it", () => {
  const unseen = { shift: "night", at: iso(noonMs) };
  expect(unseenWords({ unseen })).toBe("unseen by the night shift");
  expect(unseenWords({ unseen: { ...unseen, shift: "Early shift" } })).toBe("unseen by Early shift");
  const taken = flag({ state: "taken", unseen, cameBack: { flag: "f", number: 3, times: 1 } });
  expect(historyWords(taken)).toEqual(["unseen by the night shift", "came back after flag 3"]);
});

test("a flag stamped ahead of when it was found has an uncertain time, one a few seconds ahead has not", () => {
  const ahead = (ms: number) => timeWords(flag({ first: { ...flag().first, at: iso(noonMs + ms) } }));
  expect(ahead(2_000)).toBeNull();
  expect(ahead(5 * minute)).toBe("time uncertain");
});

const fresh = (source: string, station: string, ms: number | null, clockWrong: number | null = null) => ({
  ...{ station, source, newest: ms === null ? null : iso(noonMs + ms), overdue: null, runOpenSince: null },
  ...{ state: "live" as const, missing: null, refused: null, late: null, clockWrong },
});

test("a source whose newest reading has not come to pass yet has a wrong clock; one that lags need not", () => {
  const rows = [
    fresh("GW-PR", "PR-01", 3_000),
    fresh("GW-AO", "AO-1", 4 * minute),
    fresh("GW-AO", "AO-2", 12 * minute),
    fresh("GW-DR", "DR-1", -30 * minute),
    fresh("GW-PO", "PO-A", null),
    fresh("GW-CT", "CT-A1", 20 * minute),
  ];
  expect(wrongClocks(rows, noonMs)).toEqual([
    { source: "GW-CT", aheadMs: 20 * minute },
    { source: "GW-AO", aheadMs: 12 * minute },
  ]);
});

test("what the server found of a clock counts, behind as well; where all differ alike, ours may be the wrong one", () => {
  const one = fresh("GW-DR", "DR-1", -30 * minute, -1_800);
  const rows = [one, fresh("GW-PR", "PR-01", 0)];
  expect(wrongClocks(rows, noonMs)).toEqual([{ source: "GW-DR", aheadMs: -30 * minute }]);
  expect(oursMayBeWrong(wrongClocks(rows, noonMs), rows)).toBe(false);
  const all = [one, fresh("GW-PR", "PR-01", -30 * minute, -1_803), fresh("GW-PO", "PO-A", null)];
  expect(oursMayBeWrong(wrongClocks(all, noonMs), all)).toBe(true);
  expect(oursMayBeWrong(wrongClocks([one], noonMs), [one])).toBe(false);
});

test("every rule has plain words of its own", () => {
  const words = ruleIds.map((rule) => ruleWords([rule]));
  expect(new Set(words).size).toBe(8);
  for (const [at, word] of words.entries()) expect(word.toLowerCase()).not.toBe(ruleIds[at]!.replaceAll("-", " "));
});

const found = (number: number, atMs: number, over = {}) =>
  flag({ id: `f${number}`, number, foundAt: iso(noonMs + atMs), station: `PR-0${(number % 3) + 1}`, ...over });

test("ten new flags in ten minutes are a flood, nine are none; it names the first and every station", () => {
  const nine = Array.from({ length: 9 }, (_, i) => found(i + 1, i * 30_000));
  expect(floodNow(nine, noonMs + 5 * minute)).toBeNull();
  const ten = [...nine, found(10, 5 * minute)];
  const flood = floodNow(ten, noonMs + 5 * minute);
  expect(flood).toMatchObject({ count: 10, first: { number: 1 }, stations: ["PR-02", "PR-03", "PR-01"] });
  expect(floodNow(ten, noonMs + 4 * minute)).toBeNull();
});

test("a flood ends when fewer than five came in the last ten minutes, and not before", () => {
  const flags = Array.from({ length: 12 }, (_, i) => found(i + 1, i * minute * 0.5));
  expect(floodNow(flags, noonMs + 13 * minute)).not.toBeNull();
  expect(floodNow(flags, noonMs + 14 * minute)).toBeNull();
  const back = [...flags, found(13, 20 * minute)];
  expect(floodNow(back, noonMs + 20 * minute)).toBeNull();
});

test("what is found late, from the past, is no flood", () => {
  const flags = Array.from({ length: 30 }, (_, i) => found(i + 1, i * 1_000, { late: true }));
  expect(floodNow(flags, noonMs + minute)).toBeNull();
});
