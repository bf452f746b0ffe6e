import { mkdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { type Browser, type BrowserContext, chromium, type Page } from "playwright-core";
import { onTestFinished } from "vitest";
import { terminal, tokenOf } from "../contract/api/as.ts";
import { requireCommand } from "../system/find-command.ts";

/** Sizes at which the pages are looked at: a desk, a large desk, a phone. */
export const sizes = {
  desk: { width: 1440, height: 900 },
  large: { width: 1920, height: 1080 },
  phone: { width: 390, height: 844 },
} as const;

export type Size = { readonly width: number; readonly height: number };

/** Debian's Chromium, kept from everything but our pages. */
export function openBrowser(): Promise<Browser> {
  return chromium.launch({
    executablePath: requireCommand("chromium"),
    args: [
      "--no-sandbox",
      "--disable-gpu",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
    ],
  });
}

/** One person's browser window: nothing in common with the others', and everything that goes wrong in it noted. */
export interface Session {
  readonly page: Page;
  readonly context: BrowserContext;
  /** Uncaught errors, error lines of the console, and requests that left the host. */
  readonly wrongs: readonly string[];
  close(): Promise<void>;
}

/** Puts the cookie of one of the tests' own sessions into a browser; null takes it out. */
export async function signedIn(context: BrowserContext, url: string, account: string | null): Promise<void> {
  await context.clearCookies();
  if (account !== null) await context.addCookies([{ name: "steadypour", value: tokenOf(account), url }]);
}

/** At a terminal that a shift shares, until a test signs somebody in. */
export async function openSession(
  browser: Browser,
  url: string,
  size: Size = sizes.desk,
  until: "test ends" | "closed" = "test ends",
): Promise<Session> {
  const phone = size.width < 600;
  const context = await browser.newContext({ viewport: { ...size }, hasTouch: phone, isMobile: phone, baseURL: url });
  // A page that stayed open would go on drawing, and take its share of the machine from the tests after it.
  if (until === "test ends") onTestFinished(() => context.close());
  context.setDefaultTimeout(60_000);
  await signedIn(context, url, terminal);
  const page = await context.newPage();
  const wrongs: string[] = [];
  page.on("pageerror", (error) => wrongs.push(`uncaught: ${error.stack ?? error.message}`));
  page.on("console", (message) => {
    // The browser itself writes a line when the server is away; that it is away is what some tests are about.
    const away = /net::ERR_|WebSocket connection to|Failed to load resource/.test(message.text());
    if (message.type() === "error" && !away) wrongs.push(`console: ${message.text()}`);
  });
  const { host } = new URL(url);
  const look = (address: string): void => {
    const { protocol, host: to } = new URL(address);
    if (/^(https?|wss?):$/.test(protocol) && to !== host) wrongs.push(`left the host: ${address}`);
  };
  page.on("request", (request) => look(request.url()));
  page.on("websocket", (socket) => look(socket.url()));
  return { page, context, wrongs, close: () => context.close() };
}

const axeSource = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

interface Axe {
  run(options: { readonly resultTypes: readonly string[] }): Promise<AxeResult>;
}

interface AxeResult {
  readonly violations: readonly {
    readonly id: string;
    readonly impact: string | null;
    readonly help: string;
    readonly nodes: readonly { readonly html: string }[];
  }[];
}

/** What axe-core finds serious or critical on the page as it stands. */
export async function seriousFindings(page: Page): Promise<string[]> {
  // Evaluated, not added as a script: the pages' content security policy rightly refuses strange scripts.
  await page.evaluate(axeSource);
  const { violations } = await page.evaluate(() =>
    // What passed is not listed: on a page of some hundred charts that list takes the time.
    (globalThis as unknown as { axe: Axe }).axe.run({ resultTypes: ["violations"] }),
  );
  return violations
    .filter(({ impact }) => impact === "serious" || impact === "critical")
    .map(
      ({ id, impact, help, nodes }) => `${impact} ${id}: ${help}\n${nodes.map(({ html }) => `  ${html}`).join("\n")}`,
    );
}

/** How many pixels the page is wider than its window: it must never scroll sideways. */
export function overhang(page: Page): Promise<number> {
  return page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
}

/** Kept for people to look at; no test compares them. */
export async function keepPicture(page: Page, name: string): Promise<void> {
  mkdirSync("test-results", { recursive: true });
  await page.screenshot({ path: `test-results/${name}.png`, animations: "disabled" });
}
