import type { Browser, CDPSession, Page } from "playwright-core";
import type { Phone } from "../contract/notify/push-service.ts";
import { eventually } from "../eventually.ts";
import { openSession, type Session, sizes } from "./browser.ts";

/**
 * A phone's browser: real worker, real notifications, real storage. Its maker's push service is not there, so what a
 * subscription is, the test says, and what that service would bring, it hands to the worker by itself.
 */
export interface PhoneBrowser extends Session {
  /** Hands decrypted bytes to the worker, as the browser does when a push arrives. */
  deliver(text: string): Promise<void>;
  notifications(): Promise<readonly { readonly title: string; readonly body: string; readonly tag: string }[]>;
}

export async function openPhone(browser: Browser, url: string, phone: Phone | null): Promise<PhoneBrowser> {
  const session = await openSession(browser, url, sizes.phone, "closed");
  await session.context.grantPermissions(["notifications"], { origin: url });
  if (phone !== null) await session.page.addInitScript(subscribesTo, phone.subscription);
  let cdp: Promise<CDPSession> | null = null;
  const registrations: string[] = [];
  const opened = (): Promise<CDPSession> => {
    cdp ??= (async () => {
      const made = await session.context.newCDPSession(session.page);
      made.on("ServiceWorker.workerRegistrationUpdated", ({ registrations: all }) => {
        for (const one of all) if (!one.isDeleted) registrations.push(one.registrationId);
      });
      await made.send("ServiceWorker.enable");
      return made;
    })();
    return cdp;
  };
  return {
    ...session,
    deliver: async (text) => {
      const made = await opened();
      const registrationId = await eventually("the worker is registered", () => registrations.at(-1));
      await made.send("ServiceWorker.deliverPushMessage", { origin: new URL(url).origin, registrationId, data: text });
    },
    notifications: () => shownOn(session.page),
  };
}

function shownOn(page: Page) {
  return page.evaluate(async () => {
    const registration = await navigator.serviceWorker.getRegistration("/pocket");
    const all = (await registration?.getNotifications()) ?? [];
    return all.map(({ title, body, tag }) => ({ title, body, tag }));
  });
}

function subscribesTo(subscription: Phone["subscription"]): void {
  const bytes = (text: string): Uint8Array<ArrayBuffer> =>
    Uint8Array.from(atob(text.replaceAll("-", "+").replaceAll("_", "/")), (one) => one.charCodeAt(0));
  let key: BufferSource | null = null;
  const made = () => ({
    endpoint: subscription.endpoint,
    options: { applicationServerKey: key === null ? null : bytesOf(key), userVisibleOnly: true },
    toJSON: () => ({ ...subscription, expirationTime: null }),
    unsubscribe: async () => true,
  });
  const bytesOf = (source: BufferSource): ArrayBuffer =>
    (source instanceof ArrayBuffer ? source : source.buffer.slice(0)) as ArrayBuffer;
  bytes(subscription.keys.p256dh);
  PushManager.prototype.subscribe = (async (options: PushSubscriptionOptionsInit) => {
    key = options.applicationServerKey as BufferSource;
    localStorage.setItem("test.subscribed", "yes");
    return made();
  }) as unknown as PushManager["subscribe"];
  PushManager.prototype.getSubscription = (async () =>
    localStorage.getItem("test.subscribed") === "yes" ? made() : null) as unknown as PushManager["getSubscription"];
}
