import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { eventually } from "../eventually.ts";
import { keepPicture, openBrowser, openSession, overhang, seriousFindings, signedIn, sizes } from "./browser.ts";
import { openGateway } from "./gateway.ts";
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

/** One flask on the cooling line, that nothing told the part of. */
async function cooled(endMs: number): Promise<string> {
  const gateway = openGateway(site.mqttUrl, "GW-SK");
  await gateway.event("CO-A/flask", endMs - 2_280_000, 1, { flask: "FA-1" });
  await gateway.event("CO-A/flask", endMs, 0, { flask: "FA-1" });
  // A later one lets the line go on past the end of the first.
  await gateway.event("CO-A/flask", endMs + 20_000, 1, { flask: "FA-2" });
  await gateway.close();
  return eventually("the flask is a run", async () => {
    const { items } = await site.ask<{ items: { id: string }[] }>("/api/runs?station=CO-A");
    return items[0]?.id;
  });
}

test("a run is reckoned anew when somebody asks, and what it gave first stays to be read", async () => {
  const endMs = Date.now() - 120_000;
  const id = await cooled(endMs);
  const session = await openSession(browser, site.url, sizes.desk);
  const { page } = session;
  // Whoever may not is told whose it is.
  await signedIn(session.context, site.url, "early-lead");
  await page.goto(`/run/${encodeURIComponent(id)}`);
  await page.locator("[data-refused=recompute]").getByText("process engineer").waitFor();
  await signedIn(session.context, site.url, "process-engineer");
  await page.reload();
  await page.getByText("Events alone tell of a flask here").waitFor();
  const said = { station: "CO-A", from: new Date(endMs - 3_000_000).toISOString(), words: { part: "OFW-2107" } };
  await site.ask("/api/set-up", { ...said, by: "process-engineer", pin: "1111" });

  const reckon = page.getByRole("button", { name: "Reckon anew", exact: true });
  await page.getByRole("button", { name: "Reckon anew …" }).click();
  await page.getByLabel("Why").fill("  ");
  await reckon.click();
  await page.getByText("A reason, not only spaces.").waitFor();
  await page.getByLabel("Why").fill("the part was said late");
  await reckon.click();
  await page.locator('[data-reckoned="1"]').waitFor();
  const revisions = page.locator(".revisions");
  await expect.poll(() => revisions.getAttribute("data-revision")).toBe("2");
  expect(await revisions.innerText()).toContain("for Process engineer: the part was said late; part OFW-2107");
  expect(await revisions.innerText()).toContain("1: as it was cut");
  await expect.poll(() => page.locator("header.title").innerText()).toContain("OFW-2107");
  expect(await seriousFindings(page)).toEqual([]);
  expect(await overhang(page)).toBe(0);
  await keepPicture(page, "reckon-anew-desk");
  expect(session.wrongs).toEqual([]);
  await session.close();
}, 240_000);

test("the control plan is a page for the screen, the phone and paper, each default with its source", async () => {
  const session = await openSession(browser, site.url, sizes.phone);
  const { page } = session;
  await page.goto("/plan");
  const row = page.locator('[data-plan="iron-pour-station:pour.superheat"]');
  await row.waitFor();
  expect(await row.innerText()).toContain("Koriyama");
  expect(await page.locator("[data-plan]").count()).toBeGreaterThan(100);
  expect(await overhang(page)).toBe(0);
  await page.setViewportSize(sizes.desk);
  expect(await overhang(page)).toBe(0);
  const around = page.locator(".top");
  expect(await around.isVisible()).toBe(true);
  await page.emulateMedia({ media: "print" });
  expect(await around.isVisible()).toBe(false);
  expect(await row.isVisible()).toBe(true);
  await keepPicture(page, "plan-print");
  expect(session.wrongs).toEqual([]);
  await session.close();
}, 240_000);
