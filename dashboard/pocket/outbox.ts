import { getAll, getOne, type KeptTake, ownDevice, proofOf, put, remove } from "./pocket-store.ts";

const PATIENCE_MS = 10_000;

/** Keeps *Take it* on the phone first, then sends it: whatever happens on the way, it is not forgotten and not claimed. */
export async function take(flag: string, by: string, nowMs: number): Promise<void> {
  const before = await getOne("takes", flag);
  if (before !== undefined && before.state !== "refused") return;
  await put("takes", { flag, by, pressedMs: nowMs, state: "not-sent", why: null, answeredMs: null });
}

/** Keeps a report until the server has heard it. */
export async function keepReport(
  message: string,
  what: "shown" | "opened",
  { device, token }: { readonly device: string; readonly token: string },
): Promise<void> {
  const path = `/api/messages/${encodeURIComponent(message)}/${what}`;
  await put("reports", { key: path, path, device, token });
}

/** Sends what waits. What has no answer stays for the next time; true when nothing is left. */
export async function sendWaiting(nowMs: () => number): Promise<boolean> {
  const takes = (await getAll("takes")).filter(({ state }) => state === "not-sent");
  const sent = await Promise.all([
    ...takes.map((one) => sendTake(one, nowMs)),
    ...(await getAll("reports")).map(async ({ key, path, device, token }) => {
      const answer = await posted(path, { device, token });
      // A report that is refused is refused for good.
      if (answer !== null) await remove("reports", key);
      return answer !== null;
    }),
  ]);
  return sent.every(Boolean);
}

async function sendTake(kept: KeptTake, nowMs: () => number): Promise<boolean> {
  const { flag } = kept;
  const answer = await posted(`/api/flags/${encodeURIComponent(flag)}/take`, {});
  if (answer === null) return false;
  const content = (await answer.json().catch(() => null)) as { readonly detail?: string } | null; // a proxy may answer anything
  const why = answer.ok ? null : (content?.detail ?? `the server answered ${answer.status}`);
  await put("takes", { ...kept, state: answer.ok ? "sent" : "refused", why, answeredMs: nowMs() });
  return true;
}

/** Null while there is no answer that decides anything: no connection, or trouble at the server. */
async function posted(path: string, body: unknown): Promise<Response | null> {
  try {
    const proof = proofOf(await ownDevice());
    const answer = await fetch(path, {
      method: "POST",
      body: JSON.stringify(body),
      headers: {
        ...{ accept: "application/json", "content-type": "application/json" },
        ...(proof === null ? {} : { authorization: proof }),
      },
      signal: AbortSignal.timeout(PATIENCE_MS),
    });
    return answer.status >= 500 || answer.status === 429 ? null : answer;
  } catch {
    // No connection: it is what the outbox is for.
    return null;
  }
}
