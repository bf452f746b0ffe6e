import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { WireFlag, WirePoint } from "../../api/contract/wire.ts";
import { eventually } from "../eventually.ts";
import { freePort } from "../system/free-port.ts";
import { type RunningProcess, startNode } from "../system/running-process.ts";
import { keepPicture, openBrowser, openSession, overhang, seriousFindings, sizes } from "./browser.ts";
import { type RunningSite, startSite } from "./running-site.ts";

// A pressure transmitter of the simulated plant repeats one value while the steam is good: the real product must call
// the instrument, never the process, and say so on its pages.
const minuteMs = 60_000;
let site: RunningSite;
let plant: RunningProcess;
let browser: Browser;

beforeAll(async () => {
  // A long-term store is named, and nobody answers there.
  site = await startSite(undefined, {
    STEADYPOUR_INFLUX_URL: `http://127.0.0.1:${await freePort()}`,
    STEADYPOUR_INFLUX_DATABASE: "steadypour",
  });
  browser = await openBrowser();
});

afterAll(async () => {
  await Promise.allSettled([browser?.close(), plant?.stop()]);
  await site?.stop();
});

async function open(size: { readonly width: number; readonly height: number } = sizes.desk): Promise<Page> {
  return (await openSession(browser, site.url, size)).page;
}

test("before anything is sent every instrument says that it has not spoken", async () => {
  const page = await open();
  await page.goto("/instruments");
  await page.locator("[data-instrument]").first().waitFor();
  expect(
    await page.locator("[data-instrument]:not([data-instrument-state=never]):not([data-instrument-state=due])").count(),
  ).toBe(0);
  await expect.poll(() => page.locator("[data-instrument='PR-02/pressure']").innerText()).toMatch(/no reading yet/);
});

test("the long-term store that nobody answers at is told below, with what waits and that it is kept", async () => {
  const page = await open();
  await page.goto("/instruments");
  const note = page.getByRole("region", { name: "Long-term store" });
  await note.locator("[data-long-term=trouble]").waitFor();
  expect(await note.innerText()).toMatch(
    /Since .+ nothing goes to the long-term store: .+\. Everything is kept here; \d+ readings? waits?\./,
  );
});

test("a stuck transmitter is a flag of the instrument, its chart has no number meanwhile, and the process has no flag", async () => {
  const first = new Date(Math.floor(Date.now() / 1000) * 1000 - 40 * minuteMs).toISOString();
  plant = startNode([
    "dist/simulator/main.js",
    ...["--url", site.mqttUrl, "--seed", "11", "--speed", "live", "--first", first, "--from", first],
    ...["--fault", "stuck-pressure@PR-02@15min"],
  ]);
  const flags = async (): Promise<readonly WireFlag[]> =>
    (await site.ask<{ items: WireFlag[] }>("/api/flags?limit=100")).items.filter(({ station }) => station === "PR-02");
  const flag = await eventually("the instrument's flag", async () => (await flags())[0], 120_000);
  expect(flag).toMatchObject({ label: "instrument-fault", says: "pressure is stuck", characteristic: null });
  expect(flag.evidence).toMatch(/^pressure read -?[\d.]+ bar \d+ times in a row over \d+ s; its noise of 0\.006 bar/);

  const newest = async (): Promise<WirePoint | undefined> =>
    (await site.ask<{ items: WirePoint[] }>("/api/characteristics/PR-02:mold.plateau/points?limit=1")).items[0];
  const point = await eventually(
    "a shot without a number",
    async () => ((await newest())?.refusal?.code === "instrument-fault" ? newest() : undefined),
    60_000,
  );
  expect(point?.location).toMatchObject({ value: null, verdict: "not-evaluable" });
  expect(point?.refusal?.detail).toMatch(/^pressure read/);
  expect((await flags()).map(({ label }) => label)).toEqual(["instrument-fault"]);
}, 400_000);

test.each([
  ["phone", { width: 390, height: 844 }],
  ["desk", { width: 1440, height: 900 }],
  ["wall", { width: 1920, height: 1080 }],
] as const)(
  "at %s width nothing hangs over, by day and by night, and no barrier is found",
  async (name, size) => {
    const page = await open(size);
    for (const palette of ["day", "night"]) {
      await page.addInitScript(
        (chosen) => localStorage.setItem("steadypour.night", chosen),
        palette === "night" ? "yes" : "no",
      );
      await page.goto("/instruments");
      await page.locator("[data-instrument-state=fault]").first().waitFor();
      await expect.poll(() => overhang(page)).toBeLessThanOrEqual(0);
      expect(await seriousFindings(page)).toEqual([]);
      await keepPicture(page, `instruments-${name}-${palette}`);
    }
  },
  300_000,
);
