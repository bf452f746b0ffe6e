import type { Pushed, PushedData } from "../../../spc/model/pushed.ts";
import { keepReport, sendWaiting, take } from "../outbox.ts";
import { ownDevice, put } from "../pocket-store.ts";
import { pushedOf } from "./pushed-of.ts";
import { keepShell, shellAnswer } from "./shell-cache.ts";
import type { ShownOptions, WorkerScope } from "./worker-scope.ts";

/** The phone's worker: shows every message that arrives, reports that it did, and keeps what cannot be sent yet. */
const worker = globalThis as unknown as WorkerScope;
const now = (): number => Date.now();

worker.addEventListener("install", (event) => {
  event.waitUntil(keepShell().then(() => worker.skipWaiting()));
});
worker.addEventListener("activate", (event) => event.waitUntil(worker.clients.claim()));

worker.addEventListener("fetch", (event) => {
  const answer = shellAnswer(event.request);
  if (answer !== null) event.respondWith(answer);
});

worker.addEventListener("push", (event) => event.waitUntil(show(read(event.data))));
worker.addEventListener("notificationclick", (event) => {
  event.notification.close();
  event.waitUntil(opened(event.notification.data as PushedData | null, event.action));
});
worker.addEventListener("sync", (event) => {
  event.waitUntil(
    sendWaiting(now).then((all) => {
      if (!all) throw new Error("not all could be sent: the browser tries again");
    }),
  );
});

function read(data: { json(): unknown } | null): Pushed["notification"] | null {
  try {
    return data === null ? null : pushedOf(data.json());
  } catch {
    // No JSON: shown as what it is, a message that cannot be read.
    return null;
  }
}

/** Always shows something, and that before anything else: a message that shows nothing costs a phone its subscription. */
async function show(pushed: Pushed["notification"] | null): Promise<void> {
  if (pushed === null) {
    const body = "Something arrived that this phone cannot read. Open Pocket to see what is waiting.";
    await worker.registration.showNotification("Steadypour", { body, tag: "unreadable", icon: "/pocket-192.png" });
    return;
  }
  const { title, body, tag, data } = pushed;
  const options: ShownOptions = {
    ...{ body, tag, data, icon: "/pocket-192.png", badge: "/pocket-badge-96.png" },
    // It takes the place of what stands there; a phone that had sounded need not sound again.
    ...{ renotify: !data.quiet, silent: data.quiet },
    requireInteraction: data.label === "act-now" && !data.quiet,
    timestamp: data.card.atMs,
    actions: data.flag === null || data.quiet ? [] : [{ action: "take", title: "Take it" }],
  };
  await worker.registration.showNotification(title, options);
  const shownMs = now();
  await keepReport(data.message, "shown", data);
  if (data.flag !== null && !data.quiet) await put("cards", { flag: data.flag, data, receivedMs: shownMs, shownMs });
  await sendWaiting(now);
  for (const page of await windows()) page.postMessage({ kind: "pushed", flag: data.flag, message: data.message });
}

async function opened(data: PushedData | null, action: string): Promise<void> {
  const device = await ownDevice();
  if (data !== null) await keepReport(data.message, "opened", data);
  if (data?.flag != null && action === "take" && device !== undefined) await take(data.flag, device.personName, now());
  const path = data?.flag == null ? "/pocket/set-up" : `/pocket/flag/${encodeURIComponent(data.flag)}`;
  // What was pressed is sent whether or not a page may be opened.
  await Promise.allSettled([sendWaiting(now), openPage(path)]);
}

async function openPage(path: string): Promise<void> {
  const [page] = (await windows()).filter(({ url }) => new URL(url).pathname.startsWith("/pocket"));
  if (page === undefined) await worker.clients.openWindow(path);
  else {
    await page.focus();
    await page.navigate(path);
  }
}

function windows() {
  return worker.clients.matchAll({ type: "window", includeUncontrolled: true });
}
