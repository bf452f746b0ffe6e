import { expect, test } from "vitest";
import type { RunRecord } from "../../../spc/model/journal-entry.ts";
import { demoSite } from "../../demo-site.ts";
import { type Compared, faultRows } from "../../score/compare/fault-rows.ts";

const site = demoSite();
const hourMs = 3_600_000;
const firstMs = Date.UTC(2026, 10, 16, 6);

/** Runs of a station, one after the other; a fault of an instrument from one hour to another, that nobody found. */
function outcome(series: string, name: string, runHours: number, fromHours: number, toHours: number) {
  const [station = ""] = series.split("/");
  const trueTwin = Array.from({ length: Math.ceil(200 / runHours) }, (_, place): RunRecord => {
    const startMs = firstMs + place * runHours * hourMs;
    const times = { startMs, endMs: startMs + 0.9 * runHours * hourMs };
    const run = { id: `${station}:${place}`, station, ...times, closedBy: "end-condition", segments: [], context: {} };
    return { run, imported: false, features: [] } as RunRecord;
  });
  const [fromMs, toMs] = [firstMs + fromHours * hourMs, firstMs + toHours * hourMs];
  const all = { site, twin: [], faulty: [], trueFaulty: [], trueTwin, endMs: firstMs + 200 * hourMs };
  const tables = { means: new Map(), sets: new Map(), laws: new Map() };
  const fault = { name, station: series, fromMs, toMs, size: 1 };
  const injected = { fault, fromMs, toMs, times: 1, sized: { name, traceShift: 0 } } as never;
  const [row] = faultRows(1, [injected], { ...all, ...tables } as unknown as Compared);
  return `${row?.outcome} ${row?.dueHours?.toFixed(2) ?? "never"}`;
}

test("a thermocouple that is off is due with its second whole load, once eight have told how positions differ", () => {
  expect(outcome("AO-1/t1", "offset", 8, 100, 130)).toBe("missed 19.20");
  // Ended before, and begun before there was anything to compare with.
  expect(outcome("AO-1/t1", "offset", 8, 100, 110)).toBe("censored never");
  expect(outcome("AO-1/t1", "offset", 8, 30, 60)).toBe("censored never");
});

test("one with a known state is due with its second shot, and what shows in its readings within two hours", () => {
  expect(outcome("PR-01/pressure", "offset", 0.2, 1, 8)).toBe("missed 0.38");
  expect(outcome("AO-1/t1", "wire-open", 8, 30, 60)).toBe("missed 2.00");
  expect(outcome("PR-01/pressure", "stuck", 0.2, 1, 8)).toBe("missed 0.38");
});
