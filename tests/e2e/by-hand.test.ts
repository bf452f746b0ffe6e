import { writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { WirePoint } from "../../api/contract/wire.ts";
import { byHandSettings } from "../by-hand-settings.ts";
import { eventually } from "../eventually.ts";
import { temporaryFolder } from "../temporary-folder.ts";
import { keepPicture, openBrowser, openSession, overhang, seriousFindings, signedIn, sizes } from "./browser.ts";
import { type RunningSite, startSite } from "./running-site.ts";

// A person on a phone writes down what was measured, is asked about a slip, corrects another, and finds both on the chart.
const folder = temporaryFolder();
let site: RunningSite;
let browser: Browser;

beforeAll(async () => {
  const config = join(folder.path, "site.yaml");
  writeFileSync(config, byHandSettings());
  site = await startSite(config);
  browser = await openBrowser();
});

afterAll(async () => {
  await browser?.close();
  await site?.stop();
  folder.remove();
});

test("a person at a phone writes values down, is asked about a slip, and corrects a mistake", async () => {
  const session = await openSession(browser, site.url, sizes.phone);
  const { page } = session;
  await signedIn(session.context, site.url, "early-lead");
  await page.goto("/by-hand");
  await page.getByLabel("Station").selectOption("PR-02");
  await expect.poll(() => page.url()).toContain("/by-hand/PR-02");
  const piece = (nth: number) => page.getByLabel(`Bulk density ${nth} of 3, g/L`);
  await piece(1).fill("221");
  await page.getByLabel("Part").fill("OFW-2107");
  await page.getByRole("button", { name: "Write down" }).click();
  await page.getByText("Is it so?").waitFor();
  await expect.poll(() => page.locator(".asked").innerText()).toContain("221 g/L, expected 15 to 35 g/L");
  await page.getByRole("button", { name: "No, change it" }).click();
  for (const [nth, text] of ["22,1", "22.0", "29"].entries()) await piece(nth + 1).fill(text);
  await piece(3).press("Enter");
  await page.getByText("Written: bulk density 22.1, 22.0, 29.0").waitFor();

  const charted = async (): Promise<readonly (number | null)[]> => {
    const answer = await site.ask<{ items: WirePoint[] }>("/api/characteristics/PR-02:bead.density:OFW-2107/points");
    return answer.items.map((point) => point.location.value);
  };
  expect(await eventually("three points", async () => (await charted()).length === 3 && charted())).toEqual([
    29, 22, 22.1,
  ]);

  await page.getByRole("button", { name: /^Correct/ }).click();
  await page.getByLabel("bulk density 3", { exact: true }).fill("21,9");
  await page.getByLabel("Why").fill("read the wrong litre");
  await page.locator(".correction").getByRole("button", { name: "Correct" }).click();
  const entry = page.locator("[data-written]");
  await expect.poll(() => entry.locator("b").innerText()).toBe("22.1, 22.0, 21.9\u202fg/L");
  await expect.poll(() => entry.locator("del").innerText()).toBe("22.1, 22.0, 29.0\u202fg/L");
  expect(await seriousFindings(page)).toEqual([]);
  await expect.poll(() => overhang(page)).toBe(0);
  await keepPicture(page, "by-hand-phone");

  await entry.getByRole("link").click();
  await page.getByText("Measured by a person").waitFor();
  await expect.poll(() => page.locator(".written").innerText()).toContain("read the wrong litre");
  expect(session.wrongs).toEqual([]);
  await session.close();
});

test("what cannot be written is kept on the page, and goes out once when the server is back", async () => {
  const session = await openSession(browser, site.url, sizes.desk);
  const { page } = session;
  await signedIn(session.context, site.url, "late-lead");
  await page.goto("/by-hand/PR-03");
  await page.getByLabel("Bulk density 1 of 3, g/L").fill("22.4");
  await page.getByLabel("Part").fill("OFW-2107");
  await site.kill();
  await page.getByRole("button", { name: "Write down" }).click();
  await page.getByText("Not written, as far as is known").waitFor();
  await site.restart();
  await page.getByRole("button", { name: "Write down" }).click();
  await page.getByText("Written: bulk density 22.4").waitFor();
  await page.locator("[data-written]").first().waitFor();
  await expect.poll(() => page.locator("[data-written]").count()).toBe(1);
  expect(await seriousFindings(page)).toEqual([]);
  await keepPicture(page, "by-hand-desk");
  await session.close();
});
