import type { JSX } from "preact";
import { night, toggleNight } from "../../client/palette.ts";
import { PocketCard } from "./pocket-card.tsx";
import { PocketList } from "./pocket-list.tsx";
import { SetUpPage } from "./set-up-page.tsx";

/** The phone's own small frame: each of its pages is a link of its own, which a message may open. */
export function PocketApp(): JSX.Element {
  const [, , page, id] = location.pathname.split("/");
  if (page === "set-up") return <SetUpPage />;
  if (page === "flag" && id !== undefined) return <PocketCard flag={decodeURIComponent(id)} />;
  return <PocketList />;
}

export function PocketFoot(): JSX.Element {
  return (
    <footer class="pocket-foot">
      <p class="light">Informs only. Follow the site's own rules at the machine.</p>
      <button type="button" aria-pressed={night.value} onClick={toggleNight}>
        Night colours
      </button>
    </footer>
  );
}
