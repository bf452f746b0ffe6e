import type { JSX } from "preact";
import { spoken } from "../../client/announcer.ts";

/** What a screen reader is told of new flags; seen by nobody. */
export function Announcements(): JSX.Element {
  return (
    <>
      <div class="unseen" role="alert">
        {spoken.value.alert}
      </div>
      <div class="unseen" role="status" aria-live="polite">
        {spoken.value.status}
      </div>
    </>
  );
}
