const NAME = "pocket-shell-1";
const PAGE = "/pocket";
/** Longer than this, and the page kept on the phone is shown: whoever was woken does not wait. */
const PATIENCE_MS = 3_000;

/** Keeps the page and what it is made of, so that a Flag Card opens without a connection. */
export async function keepShell(): Promise<void> {
  const cache = await caches.open(NAME);
  const answer = await fetch(PAGE, { cache: "no-cache" });
  if (!answer.ok) throw new Error(`the page was answered with ${answer.status}`);
  const html = await answer.clone().text();
  await cache.put(PAGE, answer);
  const parts = [...html.matchAll(/(?:src|href)="(\/[^"]+\.(?:js|css|svg))"/g)].map(([, path]) => path!);
  await cache.addAll([...new Set(parts)]);
}

/** The answer to a request of a Pocket page, or null where the browser should ask by itself. */
export function shellAnswer(request: Request): Promise<Response> | null {
  const { origin, pathname } = new URL(request.url);
  if (origin !== location.origin || request.method !== "GET") return null;
  if (request.mode === "navigate") return pathname.startsWith(PAGE) ? page(request) : null;
  return pathname.startsWith("/assets/") ? asset(request) : null;
}

async function page(request: Request): Promise<Response> {
  const kept = await caches.match(PAGE);
  if (kept === undefined) return fetch(request);
  const late = new Promise<Response>((resolve) => setTimeout(() => resolve(kept), PATIENCE_MS));
  const asked = fetch(request).then(async (answer) => {
    if (!answer.ok) return kept;
    await (await caches.open(NAME)).put(PAGE, answer.clone());
    return answer;
  });
  return Promise.race([asked, late]).catch(() => kept);
}

/** Named by their content, so what is kept is right for good. */
async function asset(request: Request): Promise<Response> {
  const kept = await caches.match(request);
  if (kept !== undefined) return kept;
  const answer = await fetch(request);
  if (answer.ok) await (await caches.open(NAME)).put(request, answer.clone());
  return answer;
}
