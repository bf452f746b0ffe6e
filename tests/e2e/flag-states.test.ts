import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { WireFlag } from "../../api/contract/wire.ts";
import { keepPicture, openBrowser, openSession, type Session, seriousFindings, sizes } from "./browser.ts";
import { type Gateway, openGateway } from "./gateway.ts";
import { type RunningSite, startSite } from "./running-site.ts";

// The real product and real Chromium; one story in its order, as in pages.test.ts.
let site: RunningSite;
let browser: Browser;
let pour: Gateway;
const sessions: Session[] = [];

beforeAll(async () => {
  site = await startSite();
  browser = await openBrowser();
  pour = openGateway(site.mqttUrl, "GW-PO");
});

afterAll(async () => {
  for (const one of sessions) await one.close();
  await Promise.allSettled([pour?.close(), browser?.close()]);
  await site?.stop();
});

async function session(size: (typeof sizes)[keyof typeof sizes] = sizes.desk): Promise<Session> {
  const one = await openSession(browser, site.url, size);
  sessions.push(one);
  return one;
}

async function firstFlag(): Promise<WireFlag> {
  const { items } = await site.ask<{ readonly items: readonly WireFlag[] }>("/api/flags");
  return items.find(({ label }) => label === "act-now")!;
}

test("without a PIN nothing is sent from a shared terminal, and with it the flag is taken", async () => {
  const { page } = await session();
  await page.goto("/");
  await pour.pour("OFW-2107", 715);
  // A pour of these tests is short as well, which waits for review.
  const row = page.locator("li[data-label=A][data-flag-state=waiting]");
  await row.waitFor({ timeout: 60_000 });
  await row.getByRole("button", { name: /^Take it/ }).click();
  await row.locator("select").selectOption({ label: "Early lead" });
  const field = row.getByLabel("PIN");
  await row.getByRole("button", { name: "Take it", exact: true }).click();
  expect(await field.evaluate((input) => (input as HTMLInputElement).validity.valueMissing)).toBe(true);
  expect((await firstFlag()).state).toBe("waiting");
  await field.fill("3333");
  await page.keyboard.press("Enter");
  await page.getByText("Early lead has it").waitFor({ timeout: 60_000 });
});

test("a flag that opens again after it was done says on Floor, Flags and chart after which one it came back", async () => {
  const { page, wrongs } = await session();
  const { id, number } = await firstFlag();
  await site.ask(`/api/flags/${id}/done`, { by: "early-lead", pin: "3333", cause: "ladle cold", note: "" });
  await pour.pour("OFW-2107", 714);
  await page.goto("/");
  const back = page.locator(`li[data-flag] [data-came-back="${number}"]`);
  await back.waitFor({ timeout: 60_000 });
  await expect.poll(() => back.innerText()).toContain(`came back after flag ${number}`);
  await keepPicture(page, "floor-came-back-1440x900");
  await page.goto("/flags");
  await page.locator(`li.flag-card [data-came-back="${number}"]`).waitFor({ timeout: 60_000 });
  await page.locator("li.flag-card", { hasText: "came back" }).getByRole("link", { name: "Why it flagged" }).click();
  await page.locator(`.flag-bar [data-came-back="${number}"]`).waitFor({ timeout: 60_000 });
  expect(await seriousFindings(page)).toEqual([]);
  expect(wrongs).toEqual([]);
  const { items } = await site.ask<{ readonly items: readonly WireFlag[] }>("/api/flags?state=open");
  expect(items.find(({ label }) => label === "act-now")?.cameBack).toEqual({ flag: id, number, times: 1 });
});

test("charts of subgroups and of weighted means say what they plot, on a phone as well", async () => {
  const { page, wrongs } = await session(sizes.phone);
  await page.goto("/bench/CT-A1:vib.hf");
  await page.getByText("averages of 4 flasks with standard deviation").waitFor({ timeout: 60_000 });
  await page.goto("/bench/PR-01:mold.rise");
  await page.getByText("weighted mean (EWMA) of shots with moving range").waitFor({ timeout: 60_000 });
  expect(wrongs).toEqual([]);
});
