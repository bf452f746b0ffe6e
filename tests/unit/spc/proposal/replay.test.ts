import { expect, test } from "vitest";
import type { Signal } from "../../../../spc/model/signal.ts";
import { advance } from "../../../../spc/model/stage.ts";
import { characteristicMonitor } from "../../../../spc/monitor/characteristic-monitor.ts";
import { chanceRateSteps } from "../../../../spc/proposal/chance-rate.ts";
import { replaySteps } from "../../../../spc/proposal/replay.ts";
import { drained } from "../../../drained.ts";
import { limitsOf, plateau } from "../press-fixtures.ts";
import { steady, windowOf } from "./trial-cases.ts";

const values = steady(200, 11).with(20, 0.95).with(90, 0.89);

test("limits that ruled all along are replayed as they signalled", () => {
  const window = windowOf(values);
  const set = { ...limitsOf(), effectiveFromMs: 0 };
  const recorded = new Map<string, Signal[]>();
  const inputs = window.runs.map(({ run, atMs, value }) => ({ kind: "point" as const, run, atMs, value }));
  for (const out of advance(characteristicMonitor(plateau), [{ kind: "limits", set }, ...inputs]).out) {
    if (out.kind === "signal") recorded.set(out.signal.run, [...(recorded.get(out.signal.run) ?? []), out.signal]);
  }
  const chance = drained(chanceRateSteps(set, 1_000));
  const replay = drained(replaySteps(plateau, set, window, recorded, chance));
  expect(replay.proposed).toEqual(replay.inForce);
  expect(replay.proposed.runs).toBeGreaterThanOrEqual(2);
  expect(replay.both).toBe(replay.proposed.runs);
  expect(replay.items.map(({ run }) => run)).toEqual(expect.arrayContaining(["PR-01:20", "PR-01:90"]));
  expect(replay.byChance).toBe(200 / chance.pair.onceIn!);
});

test("tighter limits would have flagged more, and each run says by which rule", () => {
  const window = windowOf(values);
  const set = limitsOf();
  const { centre, sigma } = set.location;
  const location = { centre, sigma: sigma / 2, lower: centre - 1.5 * sigma, upper: centre + 1.5 * sigma };
  const replay = drained(replaySteps(plateau, { ...set, location }, window, new Map(), null));
  expect(replay.proposed.runs).toBeGreaterThan(10);
  expect(replay.inForce).toEqual({ runs: 0, byRule: [] });
  expect(replay.byChance).toBeNull();
  const counts = replay.proposed.byRule.find(({ rule, on }) => rule === "beyond-limit" && on === "location");
  const listed = replay.items.filter(({ proposed }) =>
    proposed.some(({ rule, on }) => rule === "beyond-limit" && on === "location"),
  );
  expect(counts?.count).toBe(listed.length);
});

test("what lies outside the specification is no matter of limits", () => {
  const window = windowOf(steady(40).with(5, 0.5));
  const wide = limitsOf();
  const location = { centre: 0.92, sigma: 1, lower: -2, upper: 4 };
  const spread = { centre: 1, sigma: 1, lower: 0, upper: 4 };
  const recorded = new Map([
    ["PR-01:5", [{ rule: "outside-specification", on: "specification", side: "below" }] as const],
  ]);
  const replay = drained(
    replaySteps(plateau, { ...wide, rules: ["beyond-limit"], location, spread }, window, recorded, null),
  );
  expect(replay.items).toEqual([]);
  expect(replay.inForce.runs).toBe(0);
});

test("the newest come first, and a run without a value flags nothing", () => {
  const holed: (number | null)[] = [...steady(60)];
  holed[10] = null;
  holed[20] = 0.99;
  holed[40] = 0.85;
  const replay = drained(replaySteps(plateau, limitsOf(), windowOf(holed), new Map(), null));
  const places = replay.items.map(({ run }) => Number(run.slice(6)));
  expect(places).toEqual(places.toSorted((a, b) => b - a));
  expect(places).not.toContain(10);
  expect(replay).toMatchObject({ runs: 60, values: 59 });
});
