import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { WireBooked, WireProposal, WireTrial } from "../../api/contract/bench-wire.ts";
import type { WireCharacteristic, WirePoint } from "../../api/contract/wire.ts";
import { historyLines } from "../../simulator/history.ts";
import { eventually } from "../eventually.ts";
import { type RunningProcess, startNode } from "../system/running-process.ts";
import { temporaryFolder } from "../temporary-folder.ts";
import { type RunningSite, startSite } from "./running-site.ts";

// The real product with the simulated plant: limits that two people agreed on stay what they are while the plant
// runs and the process is killed; only two people change them, and only for the runs that come next.
const minuteMs = 60_000;
const chart = "PR-01:mold.plateau";
const folder = temporaryFolder();
let site: RunningSite;
let plant: RunningProcess;
let agreed: WireProposal;

beforeAll(async () => {
  const key = { seed: 23, firstMs: Math.floor(Date.now() / 1000) * 1000 - 60 * minuteMs };
  const fromMs = key.firstMs - 20 * 24 * 60 * minuteMs;
  const csv = join(folder.path, "past-runs.csv");
  writeFileSync(csv, `${[...historyLines(key, fromMs, key.firstMs)].join("\n")}\n`);
  site = await startSite();
  await site.command("import-runs", csv);
  agreed = await propose("a past without a fault");
  agreed = await site.ask(`/api/proposals/${agreed.id}/agree`, { by: "second-engineer", pin: "2222" });

  const first = new Date(key.firstMs).toISOString();
  plant = startNode([
    "dist/simulator/main.js",
    ...["--url", site.mqttUrl, "--seed", String(key.seed), "--speed", "live", "--first", first, "--from", first],
  ]);
});

afterAll(async () => {
  await plant?.stop();
  await site?.stop();
  folder.remove();
});

async function propose(reason: string, last = 100): Promise<WireProposal> {
  const trial = await site.ask<WireTrial>(`/api/characteristics/${chart}/trial`, { window: { last } });
  const { from, to } = trial.window;
  const { fingerprint } = trial;
  const signature = { by: "process-engineer", pin: "1111", reason };
  return site.ask("/api/proposals", { characteristic: chart, window: { from, to }, fingerprint, ...signature });
}

const limits = async (): Promise<string> =>
  JSON.stringify((await site.ask<WireCharacteristic>(`/api/characteristics/${chart}`)).limits);
const judged = async (): Promise<readonly WirePoint[]> => {
  const { items } = await site.ask<{ items: WirePoint[] }>(`/api/characteristics/${chart}/points?order=oldest-first`);
  return items.filter(({ imported }) => !imported);
};
const sets = async (): Promise<WireBooked["sets"]> => {
  const { items } = await site.ask<{ items: WireBooked[] }>("/api/limits");
  return items.find(({ characteristic }) => characteristic.id === chart)?.sets ?? [];
};

test("limits agreed on over HTTP rule every run of the plant from its first on", async () => {
  expect(agreed).toMatchObject({ state: "agreed", agreed: { limitSet: `${chart}@1` } });
  const points = await eventually(
    "eight runs are judged",
    async () => {
      const found = await judged();
      return found.length >= 8 && found;
    },
    180_000,
  );
  expect(new Set(points.map(({ limitSet }) => limitSet))).toEqual(new Set([`${chart}@1`]));
});

test("running on, and killed in between, nothing moves them by a byte", async () => {
  const before = await limits();
  expect(JSON.parse(before)).toMatchObject({
    ...{ revision: 1, proposedBy: "Process engineer", agreedBy: "Second engineer", reason: "a past without a fault" },
    location: agreed.limits.location,
  });
  await site.kill();
  await site.restart();
  expect(await limits()).toBe(before);
  expect(await sets()).toHaveLength(1);
});

test("one person alone cannot change them, however the request is put", async () => {
  const before = await limits();
  const next = await propose("another window", 60);
  for (const [by, pin] of [
    ["process-engineer", "1111"],
    ["second-engineer", "1111"],
    ["nobody", "2222"],
  ]) {
    await expect(site.ask(`/api/proposals/${next.id}/agree`, { by, pin })).rejects.toThrow(/answered 403/);
  }
  expect(await limits()).toBe(before);
  expect((await sets()).map(({ state }) => state)).toEqual(["trial", "working"]);
});

test("two people change them for what comes, and what was judged stays as it was", async () => {
  const old = await judged();
  const [trial] = await sets();
  await site.ask(`/api/proposals/${trial?.id}/agree`, { by: "second-engineer", pin: "2222" });
  expect((await sets()).map(({ state, revision }) => [state, revision])).toEqual([
    ["working", 2],
    ["retired", 1],
  ]);
  const now = await judged();
  expect(JSON.stringify(now.slice(0, old.length))).toBe(JSON.stringify(old));
  const [working] = await sets();
  expect(Date.parse(working?.effectiveFrom ?? "")).toBeGreaterThan(Date.parse(old.at(-1)?.at ?? ""));
});
