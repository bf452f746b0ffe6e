import { useSignal } from "@preact/signals";
import type { JSX } from "preact";
import { roleNames } from "../../../api/contract/access.ts";
import type { WireSession } from "../../../api/contract/people-wire.ts";
import { ask } from "../../client/ask.ts";
import { paths } from "../../client/paths.ts";
import { clockMs } from "../../client/picture-store.ts";
import { begin, session, staySignedIn } from "../../client/session.ts";
import { signInHere } from "../people/refused-control.tsx";

/** Long enough to be noticed and answered. */
const warnMs = 2 * 60_000;

/** Who is signed in at this browser, and the way in and out. */
export function PersonButton(): JSX.Element | null {
  const failed = useSignal("");
  const now = session.value;
  if (now === null) return null;
  if (now.kind === "display") return <p class="light small">Display</p>;
  if (now.kind !== "person" && now.kind !== "terminal") {
    return (
      <a class="button plain small" href={signInHere()}>
        Sign in
      </a>
    );
  }
  const leave = async (): Promise<void> => {
    try {
      await ask<WireSession>(paths.signOut, {});
      begin("/");
    } catch (cause) {
      failed.value = `Not signed out: ${cause instanceof Error ? cause.message : "server did not answer"}`;
    }
  };
  const leftMs = now.endsAt === null ? Number.POSITIVE_INFINITY : Date.parse(now.endsAt) - clockMs.value;
  return (
    <div class="who" data-session={now.kind}>
      {now.kind === "terminal" ? (
        <span>Shared terminal</span>
      ) : (
        <a href="/account">
          You: {now.person?.name}
          <span class="light">, {now.person === null ? "" : roleNames[now.person.role]}</span>
        </a>
      )}
      <button type="button" class="plain small" onClick={() => void leave()}>
        Sign out
      </button>
      {leftMs < warnMs ? (
        <span role="alert">
          {leftMs <= 0 ? "Signed out for want of use. " : "Signed out soon for want of use. "}
          <button type="button" class="plain small" onClick={() => void staySignedIn()}>
            Stay signed in
          </button>
        </span>
      ) : null}
      {failed.value === "" ? null : <span role="alert">{failed.value}</span>}
    </div>
  );
}
