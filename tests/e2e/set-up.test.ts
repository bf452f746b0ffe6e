import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { keepPicture, openBrowser, openSession, overhang, seriousFindings, signedIn, sizes } from "./browser.ts";
import { type RunningSite, startSite } from "./running-site.ts";

// A person at a press scans what was set up, and corrects a slip; a scanner types fast and ends each code with Enter.
let site: RunningSite;
let browser: Browser;

beforeAll(async () => {
  site = await startSite("simulator/ostrimvale.yaml");
  browser = await openBrowser();
}, 120_000);

afterAll(async () => {
  await browser?.close();
  await site?.stop();
});

test("what a scanner reads finds its field, is written once with Write down, and a slip is corrected", async () => {
  const session = await openSession(browser, site.url, sizes.phone);
  const { page } = session;
  await signedIn(session.context, site.url, "early-lead");
  await page.goto("/by-hand");
  await page.getByRole("link", { name: "What is set up" }).click();
  const scan = async (code: string): Promise<void> => {
    await page.keyboard.type(code);
    await page.keyboard.press("Enter");
  };
  await page.getByLabel("Station").selectOption("PR-04");
  await page.getByLabel(/^Scan a code/).waitFor();
  // Nothing has the keyboard: a scanner types all the same.
  await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
  await scan("pr-03");
  await expect.poll(() => page.url()).toContain("/set-up/PR-03");
  const scanned = page.locator("[data-scanned]");
  await page.getByLabel(/^Scan a code/).focus();
  for (const [code, says] of [
    ["ofw-2130", "Part OFW-2130"],
    ["BL-A3001", "Bead lot BL-A3001"],
    ["9999", "9999 is none of part, tool, cavities in use or bead lot here."],
  ] as const) {
    await scan(code);
    await expect.poll(() => scanned.innerText()).toBe(says);
  }
  await expect.poll(() => page.getByRole("button", { name: "OFW-2130" }).getAttribute("aria-pressed")).toBe("true");
  const heights = await page
    .locator(".set-choice")
    .evaluateAll((all) => all.map((one) => (one as HTMLElement).getBoundingClientRect().height));
  expect(Math.min(...heights)).toBeGreaterThanOrEqual(48);
  await page.getByRole("button", { name: "Write down" }).click();
  await page.getByText("Written: part OFW-2130 · bead lot BL-A3001").waitFor();
  const entries = page.locator("[data-set-up]");
  await expect.poll(() => entries.count()).toBe(1);
  await expect.poll(() => page.locator('[data-word="part"] p').innerText()).toContain("OFW-2130 since");
  expect(await seriousFindings(page)).toEqual([]);
  await expect.poll(() => overhang(page)).toBe(0);
  await keepPicture(page, "set-up-phone");

  await page.getByRole("button", { name: /^Correct …/ }).click();
  await page.locator(".correction").getByLabel("Part").selectOption("OFW-3319");
  await page.getByLabel("Why").fill("took the wrong card");
  await page.locator(".correction").getByRole("button", { name: "Correct", exact: true }).click();
  await expect.poll(() => entries.count()).toBe(2);
  await expect.poll(() => entries.first().innerText()).toContain("part OFW-3319");
  await expect.poll(() => entries.last().locator("del").innerText()).toContain("part OFW-2130");
  await expect.poll(() => page.locator('[data-word="part"] p').innerText()).toContain("OFW-3319 since");
  expect(session.wrongs).toEqual([]);
  await session.close();
}, 240_000);
