import { afterAll, beforeAll, expect, test } from "vitest";
import { endpoints } from "../../../api/contract/endpoints.ts";
import type { WireInstrument } from "../../../api/contract/instrument-wire.ts";
import { instrumentEntry } from "../../../collector/store/entries.ts";
import { incoming } from "../store/incoming.ts";
import { type RunningApi, runningApi } from "./running-api.ts";

const nowMs = Date.now();
const sinceMs = nowMs - 600_000;
const says = "read 0.431 bar 101 times in a row over 5 s";
let api: RunningApi;
let items: readonly WireInstrument[];

beforeAll(async () => {
  api = await runningApi({
    before: ({ samples, journal }) => {
      const at = (series: string, tMs: number, value: number) => ({ series, tMs, value, quality: "good" as const });
      samples.commit([
        incoming([at("PR-02/pressure", nowMs - 500, 0.431), at("DR-1/supply-rh", nowMs - 700, 7.2)], {
          receivedMs: nowMs,
        }),
        incoming([at("AO-1/t1", nowMs - 900_000, 55.1)], { receivedMs: nowMs }),
      ]);
      const on = { stuck: { sinceMs, verdict: "fault", says } };
      const looks = {
        stuck: { atMs: sinceMs + 5_000, verdict: "fault", says },
        zero: { atMs: sinceMs - 60_000, verdict: "well", says: "read 0.001 bar at the end of eject" },
      };
      const state = { noValue: { sinceMs: 0, count: 0, told: false }, on, past: [], looks };
      journal.saveCheckpoint("station/PR-02", { instruments: { pressure: state } });
      journal.append([
        instrumentEntry({
          ...{ flag: "PR-02.pressure:fault:1", station: "PR-02", series: "PR-02/pressure", role: "pressure" },
          ...{
            check: "stuck",
            state: "began",
            verdict: "fault",
            says,
            sinceMs,
            atMs: sinceMs,
            foundMs: nowMs,
            late: false,
          },
        }),
      ]);
    },
  });
  const answer = await fetch(`${api.url}/api/instruments`);
  items = endpoints.instruments.answer.parse(await answer.json()).items;
});
afterAll(() => api.stop());

const find = (series: string): WireInstrument | undefined => items.find((one) => one.series === series);

test("the one at fault stands first, with its evidence, last checks and flag", () => {
  expect(items[0]).toMatchObject({
    series: "PR-02/pressure",
    state: "fault",
    newest: { value: 0.431, quality: "good" },
    evidence: [{ check: "stuck", verdict: "fault", says, at: new Date(sinceMs).toISOString() }],
    flag: { id: "PR-02.pressure:fault:1", state: "waiting" },
  });
  expect(items[0]?.checks.map(({ check }) => check)).toEqual(["stuck", "zero"]);
});

test("one without news for three of its spacings is silent, one that never spoke says so", () => {
  expect(find("AO-1/t1")).toMatchObject({ state: "silent" });
  expect(find("AO-1/t2")).toMatchObject({ state: "never", newest: null });
  // It speaks each 30 s. Its calibration holds for half a year from September 2026.
  expect(find("DR-1/supply-rh")?.state).toMatch(/well|due/);
});

test("what it eats of a tolerance comes from its class and the specification, or says why not", () => {
  const plateau = find("PR-01/pressure")?.shares.find(({ name }) => name === "plateau");
  // 0.0175 bar of half of 0.82 to 0.98 bar.
  expect(plateau?.share).toBeCloseTo(0.0175 / 0.08, 12);
  // A thermocouple K of class 1 is good to 1.5 K at 55 Cel (IEC 60584), of half of 52 to 58 Cel.
  const soak = find("AO-1/t1")?.shares.find(({ name }) => name === "soak mean");
  expect(soak).toMatchObject({ error: 1.5, share: 0.5 });
  const ceiling = find("AO-1/t1")?.shares.find(({ name }) => name === "soak maximum");
  expect(ceiling).toMatchObject({ share: null, why: "the specification has one side only" });
});

test("calibration is due a stated time after its day", () => {
  expect(find("PR-01/pressure")?.calibration).toMatchObject({ on: "2026-03-02", due: "2027-03-02" });
  expect(find("PR-03/pressure")?.calibration).toMatchObject({ on: "2025-11-10", due: "2026-11-10" });
});
