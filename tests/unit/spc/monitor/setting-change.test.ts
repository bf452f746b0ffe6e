import { expect, test } from "vitest";
import { proposeLimits } from "../../../../spc/charts/propose-limits.ts";
import { drawIndividuals } from "../../../../spc/drawn/individuals.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { settingOf } from "../../../../spc/model/run.ts";
import { advance } from "../../../../spc/model/stage.ts";
import { characteristicMonitor, type MonitorInput } from "../../../../spc/monitor/characteristic-monitor.ts";
import { groupedPlaces, windowPlaces } from "../../../../spc/proposal/chart-window.ts";
import { plateau, runOf, timeOf } from "../press-fixtures.ts";
import { ewmaOfRuns } from "../subgroup-fixtures.ts";

const values = [0.9, 0.91, 0.95, 0.94, 0.9, 0.92];
const tools = ["T-1", "T-1", "T-2", "T-2", "T-2", "T-1"];
const inputs = values.map((value, i): MonitorInput => {
  return { kind: "point", run: runOf(i), atMs: timeOf(i), value, setting: tools[i]! };
});
const ranges = (monitor: ReturnType<typeof characteristicMonitor>): readonly (number | null)[] =>
  advance(monitor, inputs).out.flatMap((out) => (out.kind === "point" ? [out.point.spread.value] : []));

test.each([
  ["individuals", plateau],
  ["an EWMA of single runs", { ...plateau, ...ewmaOfRuns }],
])("the moving range beside %s begins anew with another tool", (_, characteristic) => {
  const found = ranges(characteristicMonitor(characteristic));
  expect(found.map((range) => range !== null)).toEqual([false, true, false, true, true, false]);
});

test("live ranges and drawn ones are the same, wherever the stream is cut", () => {
  const monitor = characteristicMonitor(plateau);
  const runs = values.map((value, i) => {
    return { run: runOf(i), atMs: timeOf(i), imported: false, value, setting: tools[i]! };
  });
  const places = windowPlaces({ fromMs: 0, toMs: timeOf(9), everyMs: plateau.everyMs, runs }, plateau);
  const data = groupedPlaces(places, plateau, plateau.everyMs);
  const drawn = drawIndividuals(data, usualDesign({ from: 0, to: values.length })).charts[1]!;
  expect(ranges(monitor)).toEqual(values.map((_, i) => drawn.values.at(i) ?? null));
  for (let cut = 0; cut <= inputs.length; cut += 1) {
    const before = advance(monitor, inputs.slice(0, cut));
    const after = advance(monitor, inputs.slice(cut), JSON.parse(JSON.stringify(before.state)));
    expect([...before.out, ...after.out]).toEqual(advance(monitor, inputs).out);
  }
});

test("patterns go on: another tool is an event, not another history", () => {
  const side = values.map((_, i): MonitorInput => {
    return { kind: "point", run: runOf(i), atMs: timeOf(i), value: 0.93, setting: i < 3 ? "T-1" : "T-2" };
  });
  const state = advance(characteristicMonitor(plateau), side).state;
  expect(state.seen).toBe(6);
  expect(state.setting).toBe("T-2");
});

test("limits do not take the step from one tool to the next for one of the process", () => {
  const wave = (i: number): number => 0.9 + 0.01 * Math.sin(i * 2.1);
  const runs = (change: boolean) =>
    Array.from({ length: 60 }, (_, i) => {
      const second = i >= 30;
      const setting = change && second ? "T-2" : "T-1";
      return { index: i, atMs: timeOf(i), runs: [runOf(i)], values: [wave(i) + (second ? 0.5 : 0)], setting };
    });
  const rest = { everyMs: plateau.everyMs, unit: "bar", rules: plateau.rules, basis: "chart" } as const;
  for (const as of [{ pair: "individuals" }, { pair: "ewma", ewma: { lambda: 0.2, width: 2.86 } }] as const) {
    const [told, untold] = [true, false].map((change) => proposeLimits({ ...as, ...rest, subgroups: runs(change) }));
    if (!told!.ok || !untold!.ok) throw new Error("no limits");
    expect(untold!.value.spread.centre - told!.value.spread.centre).toBeGreaterThan(0.5 / 60 - 0.001);
  }
});

test("what begins anew: part and tool, of deviations the tool, and what the settings say", () => {
  const run = { context: { part: "OFW-2107", tool: "T-1", tank: "SL-A" } };
  expect(settingOf(run, {})).toBe("OFW-2107 T-1");
  expect(settingOf(run, { plotted: { as: "deviation" } })).toBe("T-1");
  expect(settingOf(run, { plotted: { as: "deviation" }, subgroup: {} })).toBe("OFW-2107 T-1");
  expect(settingOf(run, { anewWith: ["tank"] })).toBe("SL-A");
  expect(settingOf(run, { subgroup: { anewWith: ["part", "tank"] } })).toBe("OFW-2107 SL-A");
});
