import type { JSX } from "preact";
import { useEffect } from "preact/hooks";
import type { WireSession } from "../../../api/contract/people-wire.ts";
import { ask } from "../../client/ask.ts";
import { paths } from "../../client/paths.ts";
import { begin } from "../../client/session.ts";
import { useSending } from "./use-sending.ts";

/** Where a display's link leads: this screen shows the key's page from now on. */
export function DisplayPage(): JSX.Element {
  const sending = useSending();
  useEffect(() => {
    const key = location.hash.slice(1);
    history.replaceState(null, "", location.pathname);
    void sending.send(async () => {
      if (key === "") return "This page is opened by a display's link, whole as it was given.";
      const { page } = await ask<WireSession>(paths.display, { key });
      begin(page ?? "/");
      return "";
    });
  }, []);
  return (
    <section class="sign-in">
      <h1>Display</h1>
      <p role="status">{sending.busy ? "Opening the page of this key …" : sending.said}</p>
    </section>
  );
}
