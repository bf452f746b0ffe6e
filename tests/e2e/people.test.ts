import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { hashSecret } from "../../api/people/secrets.ts";
import { openJournalFile } from "../../collector/store/embedded/embedded-journal.ts";
import { as } from "../contract/api/as.ts";
import { post } from "../contract/api/ask.ts";
import { temporaryFolder } from "../temporary-folder.ts";
import { openBrowser, openSession, overhang, seriousFindings, signedIn, sizes } from "./browser.ts";
import { type RunningSite, startSite } from "./running-site.ts";

let site: RunningSite;
let browser: Browser;
const password = "white pattern under sand";

beforeAll(async () => {
  [site, browser] = await Promise.all([startSite(), openBrowser()]);
  const { journal, people } = openJournalFile(site.environment["STEADYPOUR_DATA"]!);
  people.putAccount({ ...people.account("early-lead")!, password: await hashSecret(password) });
  journal.close();
});
afterAll(async () => {
  await browser?.close();
  await site?.stop();
});

test("by keyboard alone one signs in, is told what was wrong, and comes back to where one was", async () => {
  const { page, context, wrongs, close } = await openSession(browser, site.url, sizes.phone);
  await signedIn(context, site.url, null);
  await page.goto("/sign-in?to=%2Fflags");
  const account = page.getByLabel("Account");
  await account.focus();
  await page.keyboard.type("early-lead");
  await page.keyboard.press("Tab");
  await page.keyboard.type("wrong one");
  await page.keyboard.press("Enter");
  await page.getByRole("alert").filter({ hasText: "account and password do not go together" }).waitFor();
  // The account stays, the password goes, and the focus is where it is typed again.
  await expect.poll(() => account.inputValue()).toBe("early-lead");
  expect(await page.evaluate(() => document.activeElement?.getAttribute("name"))).toBe("password");
  expect(await seriousFindings(page)).toEqual([]);
  await expect.poll(() => overhang(page)).toBeLessThanOrEqual(0);
  await page.keyboard.type(password);
  await page.keyboard.press("Enter");
  await page.waitForURL("**/flags");
  await page.getByText("You: Early lead").waitFor();
  await page.getByRole("button", { name: "Sign out" }).click();
  await page.getByRole("link", { name: "Sign in" }).first().waitFor();
  expect(wrongs).toEqual([]);
  await close();
});

test("what a role may not do stands there with its reason, which a screen reader is told", async () => {
  const { page, context, wrongs, close } = await openSession(browser, site.url);
  await signedIn(context, site.url, "visitor");
  await page.goto("/people");
  const button = page.locator("[data-refused=manage-people] button");
  await button.waitFor();
  await expect.poll(() => button.getAttribute("aria-disabled")).toBe("true");
  const described = await button.evaluate(
    (one) => document.getElementById(one.getAttribute("aria-describedby")!)?.textContent,
  );
  expect(described).toMatch(/administrator can manage accounts/);
  expect(await seriousFindings(page)).toEqual([]);
  await page.goto("/record");
  await page.getByText("What Visitor changed.").waitFor();
  expect(await seriousFindings(page)).toEqual([]);
  expect(wrongs).toEqual([]);
  await close();
});

test("an administrator makes an account, and finds it in the Change Record", async () => {
  const { page, context, wrongs, close } = await openSession(browser, site.url);
  await signedIn(context, site.url, "administrator");
  await page.goto("/people");
  const form = page.locator("form[aria-labelledby=add-account]");
  await form.getByLabel("Account, in small letters").fill("moulder");
  await form.getByLabel("Name").fill("Moulder");
  await form.getByText("Area: the whole plant").click();
  await form.getByLabel("Moulding", { exact: true }).check();
  await form.getByLabel("Reason").fill("new at the presses");
  await form.getByRole("button", { name: "Add" }).click();
  await page.locator("[data-account=moulder]", { hasText: "viewer, Moulding." }).waitFor();
  expect(await seriousFindings(page)).toEqual([]);
  await page.goto("/record?kind=account-made&subject=moulder");
  await page.locator("[data-kind=account-made]", { hasText: "new at the presses" }).waitFor();
  await expect.poll(() => page.locator("[data-row]").count()).toBe(1);
  expect(await seriousFindings(page)).toEqual([]);
  for (const path of ["/account", "/"]) {
    await page.goto(path);
    await page.getByText("You: Administrator").waitFor();
    expect(await seriousFindings(page), path).toEqual([]);
    await expect.poll(() => overhang(page), { message: path }).toBeLessThanOrEqual(0);
  }
  expect(wrongs).toEqual([]);
  await close();
});

test("a link that was used, or never was one, says so before anything is typed", async () => {
  const { page, wrongs, close } = await openSession(browser, site.url, sizes.phone);
  await page.goto("/welcome#no-such-link");
  await page.getByRole("alert").filter({ hasText: "that link opens nothing: it was used" }).waitFor();
  await expect.poll(() => page.locator("input").count()).toBe(0);
  expect(await seriousFindings(page)).toEqual([]);
  await expect.poll(() => overhang(page)).toBeLessThanOrEqual(0);
  expect(wrongs).toEqual([]);
  await close();
});

test("where looking needs a session, a page whose session was ended elsewhere takes away what it showed", async () => {
  const folder = temporaryFolder();
  const config = join(folder.path, "site.yaml");
  writeFileSync(config, `${readFileSync("simulator/ostrimvale.yaml", "utf8")}\ndoors: { openReading: false }\n`);
  const closed = await startSite(config);
  try {
    for (const [account, name, stream] of [
      ["early-lead", "Early lead", "open"],
      ["late-lead", "Late lead", "refused"],
    ] as const) {
      const { page, context, close } = await openSession(browser, closed.url, sizes.phone);
      await signedIn(context, closed.url, account);
      if (stream === "refused") await page.routeWebSocket(/\/live/, (socket) => socket.close());
      await page.goto("/limits");
      await page.getByText(`You: ${name}`).waitFor();
      const out = await fetch(`${closed.url}/api/accounts/${account}/end-sessions`, {
        ...post({ reason: "a phone was lost" }, as("administrator")),
      });
      expect(out.status).toBe(200);
      await page.getByText("Nothing is shown here to those who are not signed in.").waitFor();
      await expect.poll(() => page.locator("main").innerText()).not.toContain("Limits Book");
      await expect.poll(() => page.getByText(name).count()).toBe(0);
      // From the top by keyboard alone: each field and button comes in the order in which it is read, and says what it is.
      expect(await tabbed(page, 20)).toEqual(["account", "password", "shared", "sign in"]);
      expect(await seriousFindings(page)).toEqual([]);
      await close();
    }
  } finally {
    await closed.stop();
    folder.remove();
  }
});

/** What of the form the Tab key reaches, in its order. */
async function tabbed(page: Page, most: number): Promise<readonly string[]> {
  await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
  const reached: string[] = [];
  for (let n = 0; n < most; n += 1) {
    await page.keyboard.press("Tab");
    const name = await page.evaluate(() => {
      const one = document.activeElement;
      if (one?.closest("form") === null || !(one instanceof HTMLElement)) return null;
      if (one instanceof HTMLInputElement) return one.type === "checkbox" ? "shared" : one.name;
      return one.textContent?.trim().toLowerCase() ?? "";
    });
    if (name !== null && !reached.includes(name)) reached.push(name);
  }
  return reached;
}
