import { type Signal, signal } from "@preact/signals";
import { type Right, rights, whoMay } from "../../api/contract/access.ts";
import type { WireSession } from "../../api/contract/people-wire.ts";
import { ask } from "./ask.ts";
import { paths } from "./paths.ts";

/** Who is signed in at this browser, and what they may; null until the server has said it. */
export const session: Signal<WireSession | null> = signal(null);

const againMs = 3_000;
const lookMs = 60_000;
/** Somebody at the keyboard keeps a session open; told to the server no oftener than this. */
const stayMs = 5 * 60_000;

/** Asks until the server has said who is signed in, then looks again each minute. */
export async function startSession(): Promise<WireSession> {
  for (;;) {
    try {
      session.value = await ask<WireSession>(paths.session);
      break;
    } catch {
      // Not reached: the page waits and asks again, as it does for everything.
      await new Promise((go) => setTimeout(go, againMs));
    }
  }
  setInterval(() => void lookAgain(), lookMs);
  let stayedAt = performance.now();
  const stay = (): void => {
    if (session.value?.endsAt == null || performance.now() - stayedAt < stayMs) return;
    stayedAt = performance.now();
    void staySignedIn();
  };
  for (const kind of ["pointerdown", "keydown"] as const) addEventListener(kind, stay, { passive: true });
  return session.value;
}

export async function staySignedIn(): Promise<void> {
  try {
    session.value = await ask<WireSession>(paths.stay, {});
  } catch {
    // Not reached, or over: the next look says which.
  }
}

/** Who was signed out elsewhere may look no longer, where that needs a session: what the page showed goes with it. */
export async function lookAgain(): Promise<void> {
  const could = may("read");
  try {
    session.value = await ask<WireSession>(paths.session);
  } catch {
    // Not reached: what was known stands until the server answers.
  }
  if (could && !may("read")) location.reload();
}

export function may(right: Right): boolean {
  return session.value?.rights.includes(right) === true;
}

/** Whether a control is offered: to who may use it, and at a shared terminal, where a PIN will say who does. */
export function mayTry(right: Right): boolean {
  return may(right) || session.value?.kind === "terminal";
}

/** Why a control is there and cannot be used, or null. */
export function whyNot(right: Right): string | null {
  if (may(right)) return null;
  const kind = session.value?.kind;
  if (kind === "display") return "This screen only shows.";
  if (kind === undefined || kind === "nobody") return `To ${rights[right]}, sign in. It is for ${whoMay(right)}.`;
  return `${sentence(whoMay(right))} can ${rights[right]}.`;
}

/** After signing in or out everything is read anew, as whoever it is now. */
export function begin(path: string): void {
  location.assign(path);
}

function sentence(text: string): string {
  return `${text[0]?.toUpperCase() ?? ""}${text.slice(1)}`;
}
