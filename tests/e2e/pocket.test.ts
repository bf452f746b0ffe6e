import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { WireMessage, WireMessageSetUp } from "../../api/contract/message-wire.ts";
import type { WireFlag } from "../../api/contract/wire.ts";
import { strangeCharacters } from "../../spc/notify/message-text.ts";
import { pin } from "../contract/notify/message-settings.ts";
import { type Phone, type PushService, pushService, type SeenPush } from "../contract/notify/push-service.ts";
import { type ThrowAwayAuthority, throwAwayAuthority } from "../contract/notify/throw-away-authority.ts";
import { eventually } from "../eventually.ts";
import { keepPicture, openBrowser, openSession, overhang, seriousFindings, sizes } from "./browser.ts";
import { type Gateway, openGateway } from "./gateway.ts";
import { startMessageSite } from "./message-site.ts";
import { openPhone, type PhoneBrowser } from "./phone-browser.ts";
import type { RunningSite } from "./running-site.ts";

// The real product, a real push service over TLS on this machine, and a real Chromium's worker. What is between a push
// service of a phone's maker and a real phone is not tried here. One story, in its order.
let authority: ThrowAwayAuthority;
let service: PushService;
let site: RunningSite;
let browser: Browser;
let pour: Gateway;
let phone: Phone;
let mine: PhoneBrowser;

beforeAll(async () => {
  authority = throwAwayAuthority();
  service = await pushService(authority);
  site = await startMessageSite(service, authority);
  browser = await openBrowser();
  pour = openGateway(site.mqttUrl, "GW-PO");
  const { publicKey } = await site.ask<WireMessageSetUp>("/api/messages/set-up");
  phone = service.subscribe(publicKey!);
});

afterAll(async () => {
  await Promise.allSettled([pour?.close(), browser?.close()]);
  await site?.stop();
  await service?.close();
  authority?.remove();
});

const text = (push: SeenPush): string => phone.keys.decrypt(push.body).toString("utf8");
const ledger = async () => (await site.ask<{ items: WireMessage[] }>("/api/messages")).items;

test("set-up says what is in the way: not allowed, not on the home screen, each in its own words", async () => {
  const denied = await openSession(browser, site.url, sizes.phone);
  await denied.context.grantPermissions([], { origin: site.url });
  await denied.page.goto("/pocket/set-up");
  await denied.page.locator("[data-reason=not-allowed]").waitFor();
  await expect
    .poll(() => denied.page.locator("[data-reason]").innerText())
    .toMatch(/not allowed on this phone.*notifications/s);
  expect(await seriousFindings(denied.page)).toEqual([]);
  await expect.poll(() => overhang(denied.page)).toBeLessThanOrEqual(0);
  await denied.close();

  const plain = await openSession(browser, site.url, sizes.phone);
  await plain.page.addInitScript(() => Object.defineProperty(navigator, "standalone", { value: false }));
  await plain.page.goto("/pocket/set-up");
  await plain.page.locator("[data-reason=not-installed]").waitFor();
  await expect.poll(() => plain.page.locator("[data-reason]").innerText()).toContain("Add to Home Screen");
  expect(plain.wrongs).toEqual([]);
  await plain.close();
});

test("a push service that never answers is given up after 10 s, and said so", async () => {
  // No maker's service can be reached from here: this is the browser's own subscribe(), and it hangs.
  const stuck = await openPhone(browser, site.url, null);
  await stuck.page.addInitScript(() => {
    PushManager.prototype.subscribe = () => new Promise(() => undefined);
  });
  await stuck.page.goto("/pocket/set-up");
  await stuck.page.getByLabel("Your PIN").fill(pin);
  const before = performance.now();
  await stuck.page.getByRole("button", { name: "Send messages to this phone" }).click();
  await stuck.page.locator("[data-reason=no-answer]").waitFor({ timeout: 60_000 });
  const tookMs = performance.now() - before;
  expect(tookMs).toBeGreaterThan(9_500);
  await expect.poll(() => stuck.page.locator("[data-reason=no-answer]").innerText()).toContain("No answer within 10 s");
  await keepPicture(stuck.page, "pocket-set-up-no-answer-390x844");
  await stuck.close();
});

test("a phone is set up with a PIN; a wrong one is said beside the form", async () => {
  mine = await openPhone(browser, site.url, phone);
  const { page } = mine;
  await page.goto("/pocket/set-up");
  await page.getByLabel("Your PIN").fill("9999");
  await page.getByRole("button", { name: "Send messages to this phone" }).click();
  await page.locator("[data-reason=refused]").waitFor();
  await expect.poll(() => page.locator("[data-reason=refused]").innerText()).toContain("not the PIN");
  await page.getByLabel("Your PIN").fill(pin);
  await page.getByRole("button", { name: "Send messages to this phone" }).click();
  await page.getByText("Set up as Phone, for Early lead.").waitFor();
  await page.locator("[data-device-state=doubtful]").waitFor();
  await expect.poll(() => page.locator("[data-device]").innerText()).toContain("has never shown a message");
});

test("Test my phone shows each state with its time, and shown only when the phone has said so", async () => {
  const { page } = mine;
  await page.getByRole("button", { name: "Test my phone" }).click();
  await page.locator("[data-state=accepted][data-at]").waitFor({ timeout: 60_000 });
  await expect.poll(() => page.locator("[data-state=shown]").getAttribute("data-at")).toBeNull();
  const [push] = phone.stored();
  expect(text(push!)).toContain("TEST ");
  await page.getByText(/has not shown it within 10 s/).waitFor({ timeout: 60_000 });
  await mine.deliver(text(push!));
  await page.locator("[data-state=shown][data-at]").waitFor({ timeout: 60_000 });
  await page.getByText("This phone shows messages.").waitFor();
  expect(await mine.notifications()).toMatchObject([{ title: "TEST Messages reach this phone" }]);
  await page.locator("[data-device-state=ok]").waitFor({ timeout: 60_000 });
  expect((await ledger())[0]).toMatchObject({ why: "trial", deliveries: [{ state: "shown", attempts: 1 }] });
  expect(await seriousFindings(page)).toEqual([]);
  await keepPicture(page, "pocket-set-up-390x844");
});

let flag: WireFlag;
let push: SeenPush;

test("cold metal reaches the phone within 25 s with all that is needed at night, and nothing that is not", async () => {
  const before = performance.now();
  await pour.pour("OFW-2107", 715);
  push = await eventually("the push arrives", () => phone.stored().find((one) => text(one).includes("ACT NOW")));
  console.log(`from the end of the pour to the push service: ${Math.round(performance.now() - before)} ms`);
  [flag] = (await site.ask<{ items: WireFlag[] }>("/api/flags?state=open")).items as [WireFlag];
  expect(push.headers).toMatchObject({ ttl: "900", urgency: "high" });
  expect(String(push.headers["topic"]).length).toBeLessThanOrEqual(32);
  const { title, body } = phone.read(push).notification as unknown as { title: string; body: string };
  expect(title).toBe("ACT NOW PO-A: metal too cold");
  expect(body).toMatch(/^71\d\.\d C, spec from 738\.0\nPour OFW-2107, \d\d:\d\d\nRe-dip with a fresh, dry tip/);
  expect(title.length).toBeLessThanOrEqual(45);
  expect(strangeCharacters(title + body)).toEqual([]);
  expect(title + body).not.toMatch(/sigma|rule|beyond-limit|outside|lead/i);
});

test("the worker leaves exactly one notification of a flag, and only its report moves accepted to shown", async () => {
  await eventually("accepted", async () => (await ledger())[0]?.deliveries[0]?.state === "accepted");
  expect((await ledger())[0]!.deliveries[0]).toMatchObject({ shownAt: null });
  await mine.deliver(text(push));
  await eventually("shown", async () => (await ledger())[0]?.deliveries[0]?.state === "shown");
  await mine.deliver(text(push));
  await eventually("one notification of the flag", async () => {
    const ours = (await mine.notifications()).filter(({ tag }) => tag === flag.id);
    return ours.length === 1 && ours[0]!.title === "ACT NOW PO-A: metal too cold";
  });
  expect((await ledger()).filter(({ flag: of }) => of === flag.id)).toHaveLength(1);
});

test("on the desk the ledger keeps the five states apart, finds a person's and a flag's messages, and leads to Pocket", async () => {
  const desk = await openSession(browser, site.url, sizes.desk);
  const { page } = desk;
  await page.goto("/flags");
  await page.getByRole("link", { name: "Who was told" }).first().click();
  const entry = page.locator("li[data-message]");
  await entry.waitFor();
  expect(page.url()).toContain("flag=");
  await expect.poll(() => entry.count()).toBe(1);
  const words = await entry.innerText();
  for (const part of [/To Early lead/, /ACT NOW PO-A: metal too cold/, /spec from 738/, /Shown by the phone/]) {
    expect(words).toMatch(part);
  }
  const times = await entry
    .locator("[data-step]")
    .evaluateAll((steps) => steps.map((one) => [one.getAttribute("data-step"), one.hasAttribute("data-at")]));
  expect(Object.fromEntries(times)).toEqual({
    ...{ queued: true, accepted: true, shown: true, opened: false, taken: false },
  });
  await expect
    .poll(() => page.locator("[data-told=lead]").innerText())
    .toMatch(/Act now, Look this shift.*ok, showed a message/s);
  await page.getByRole("button", { name: "Of one flag: show all" }).click();
  await eventually("the test is listed as well", async () => (await entry.count()) === 2);
  await page.getByLabel("State").selectOption("failed");
  await page.getByText("None of these 2 messages is so.").waitFor();
  expect(page.url()).toContain("state=failed");
  await page.getByLabel("State").selectOption("");
  for (const [name, size, night] of [
    ["desk", sizes.desk, false],
    ["desk-night", sizes.desk, true],
    ["large", sizes.large, true],
    ["phone", sizes.phone, true],
    ["phone-day", sizes.phone, false],
  ] as const) {
    await page.setViewportSize(size);
    const button = page.getByRole("button", { name: "Night colours" });
    if (((await button.getAttribute("aria-pressed")) === "true") !== night) await button.click();
    expect(await seriousFindings(page), name).toEqual([]);
    await expect.poll(() => overhang(page), { message: name }).toBeLessThanOrEqual(0);
    await keepPicture(page, `messages-${name}`);
  }
  await page.getByRole("link", { name: "Pocket, the flags on a phone" }).click();
  await page.waitForURL("**/pocket");
  await page.getByText("metal too cold").first().waitFor();
  expect(desk.wrongs).toEqual([]);
  await desk.close();
});

test("what a worker cannot read it shows all the same, as what it is", async () => {
  const shown = async (): Promise<boolean> => (await mine.notifications()).some(({ tag }) => tag === "unreadable");
  // A browser that lacks time may end an idle worker just then, and what was handed to it with it.
  const delivered = async (): Promise<boolean> => {
    await mine.deliver("not ours");
    return shown();
  };
  await eventually("shown", async () => (await shown()) || (await delivered()), 60_000, 3_000);
});

test("the Flag Card fits a phone and passes axe-core, by day and by night", async () => {
  const { page } = mine;
  await page.goto(`/pocket/flag/${encodeURIComponent(flag.id)}`);
  await page.locator("[data-from=plant]").waitFor();
  await page.locator("svg.strip").waitFor();
  const words = await page.locator("[data-flag]").innerText();
  for (const part of [/act now/i, /PO-A: metal too cold/, /71\d\.\d/, /spec from 738/, /Re-dip/, /not yet taken/]) {
    expect(words).toMatch(part);
  }
  const button = await page.getByRole("button", { name: /^Take it/ }).boundingBox();
  expect(button?.height).toBeGreaterThanOrEqual(56);
  expect(button!.y + button!.height).toBeLessThan(844);
  await page.getByText("Usual causes and history").click();
  await page.getByText("No flag of this chart was closed before.").waitFor();
  await expect.poll(() => overhang(page)).toBeLessThanOrEqual(0);
  expect(await seriousFindings(page)).toEqual([]);
  await page.getByText("Usual causes and history").click();
  await keepPicture(page, "pocket-card-390x844");
  await page.getByRole("button", { name: "Night colours" }).click();
  expect(await seriousFindings(page)).toEqual([]);
  await keepPicture(page, "pocket-card-night-390x844");
  await page.getByRole("button", { name: "Night colours" }).click();
  await page.setViewportSize({ width: 320, height: 640 });
  await expect.poll(() => overhang(page)).toBeLessThanOrEqual(0);
  await page.setViewportSize(sizes.phone);
});

test("with the plant out of reach the card stands from the push, and Take it says that it is not sent, until it is", async () => {
  const { page } = mine;
  await site.kill();
  await page.goto(`/pocket/flag/${encodeURIComponent(flag.id)}`);
  const card = page.locator("[data-from=push]");
  await card.waitFor({ timeout: 60_000 });
  await expect.poll(() => card.innerText()).toMatch(/metal too cold.*71\d\.\d.*Re-dip/s);
  await page.getByText(/Plant not reached/).waitFor();
  await page.getByRole("button", { name: /^Take it/ }).click();
  const state = page.locator("[data-state]");
  await page.getByText("Not sent yet. It will be sent when there is a connection.").waitFor();
  expect(await seriousFindings(page)).toEqual([]);
  await keepPicture(page, "pocket-card-not-sent-390x844");
  // Closed and opened again it still knows, and still claims nothing.
  await page.goto("/pocket");
  await page.getByText("Not sent yet").waitFor({ timeout: 60_000 });
  expect(await seriousFindings(page)).toEqual([]);
  expect(await overhang(page)).toBeLessThanOrEqual(0);
  await page.goto(`/pocket/flag/${encodeURIComponent(flag.id)}`);
  await site.restart();
  await eventually("it is sent", async () => /taken by Early lead/.test(await state.innerText()));
  expect(await site.ask(`/api/flags/${encodeURIComponent(flag.id)}`)).toMatchObject({
    state: "taken",
    taken: { by: "Early lead" },
  });
});

test("what somebody else has taken meanwhile is said, and is not taken twice", async () => {
  await pour.pour("OFW-2115", 715);
  const other = await eventually("a second message", () =>
    phone.stored().find((one) => text(one).includes("OFW-2115")),
  );
  const { flag: id } = phone.read(other).notification.data;
  // Again after a while: on a machine that was very busy, one was lost between the debugger and the worker.
  await eventually(
    "shown",
    async () => {
      await mine.deliver(text(other));
      await new Promise((resolve) => setTimeout(resolve, 500));
      return (await mine.notifications()).some(({ tag }) => tag === id);
    },
    60_000,
    5_000,
  );
  await site.kill();
  await mine.page.goto(`/pocket/flag/${encodeURIComponent(id!)}`);
  await mine.page.getByRole("button", { name: /^Take it/ }).click({ timeout: 60_000 });
  await mine.page.getByText(/Not sent yet/).waitFor();
  await mine.page.goto("about:blank");
  await site.restart();
  await site.ask(`/api/flags/${encodeURIComponent(id!)}/take`, { by: "night-lead", pin: "5555" });
  await mine.page.goto(`/pocket/flag/${encodeURIComponent(id!)}`);
  await mine.page.getByText(/taken by Night lead/).waitFor({ timeout: 60_000 });
  expect(mine.wrongs).toEqual([]);
});

test("while the phone's report does not get through, a message that it shows stays accepted; Take it on it is sent", async () => {
  const { page, context } = mine;
  await page.goto("/");
  await pour.pour("OFW-2130", 715);
  const third = await eventually("a third message", () => phone.stored().find((one) => text(one).includes("OFW-2130")));
  const { flag: id, message } = phone.read(third).notification.data;
  const state = async () =>
    (await site.ask<WireMessage>(`/api/messages/${encodeURIComponent(message)}`)).deliveries[0]?.state;
  await eventually("accepted", async () => (await state()) === "accepted");
  const [worker] = context.serviceWorkers();
  await worker!.evaluate(() => {
    const { fetch } = globalThis;
    globalThis.fetch = (path, init) =>
      String(path).endsWith("/shown") ? Promise.reject(new TypeError("blocked by the test")) : fetch(path, init);
  });
  await mine.deliver(text(third));
  await eventually("it is shown", async () => (await mine.notifications()).some(({ tag }) => tag === id));
  await new Promise((resolve) => setTimeout(resolve, 2_000));
  expect(await state()).toBe("accepted");
  // As a finger on the notification's button does.
  await worker!.evaluate(async (tag) => {
    const scope = globalThis as unknown as { registration: ServiceWorkerRegistration } & EventTarget;
    const [notification] = await scope.registration.getNotifications({ tag });
    type Clicked = new (type: string, init: { notification: Notification; action: string }) => Event;
    const { NotificationEvent } = globalThis as unknown as { NotificationEvent: Clicked };
    scope.dispatchEvent(new NotificationEvent("notificationclick", { notification: notification!, action: "take" }));
  }, id!);
  await eventually("it is taken", async () => {
    const taken = await site.ask<WireFlag>(`/api/flags/${encodeURIComponent(id!)}`);
    return taken.taken?.by === "Early lead";
  });
  // Both leave the phone at once, each on its own.
  await eventually("its report has arrived as well", async () => (await state()) === "opened");
  const one = await site.ask<WireMessage>(`/api/messages/${encodeURIComponent(message)}`);
  expect(one).toMatchObject({ taken: { by: "Early lead" }, deliveries: [{ shownAt: null }] });
  // The report waited on the phone, and goes with the next chance.
  await page.goto("/pocket");
  await eventually("the report has arrived", async () => {
    const again = await site.ask<WireMessage>(`/api/messages/${encodeURIComponent(message)}`);
    return again.deliveries[0]?.shownAt;
  });
});
