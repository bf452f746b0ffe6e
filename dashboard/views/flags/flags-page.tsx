import { useComputed, useSignal } from "@preact/signals";
import type { JSX } from "preact";
import type { WireFlag } from "../../../api/contract/wire.ts";
import { paths } from "../../client/paths.ts";
import { picture } from "../../client/picture-store.ts";
import { byUrgency, handledFlags } from "../../model/flag-words.ts";
import { charted } from "../../model/picture.ts";
import { ClockWrong } from "../shell/clock-wrong.tsx";
import { DoorTrouble } from "../shell/door-trouble.tsx";
import { useAnswer } from "../shell/use-answer.ts";
import { WaitingFor } from "../shell/waiting-for.tsx";
import { FlagCard } from "./flag-card.tsx";

type Shown = WireFlag["state"] | "all" | "unseen";
const filters: readonly { readonly state: Shown; readonly word: string }[] = [
  { state: "all", word: "All" },
  { state: "waiting", word: "Waiting" },
  { state: "unseen", word: "Unseen" },
  { state: "taken", word: "Taken" },
  { state: "done", word: "Done" },
];

/** All flags: the open ones first, then those that a person closed. */
export function FlagsPage(): JSX.Element {
  const { answer } = useAnswer<{ readonly items: readonly WireFlag[] }>(paths.flags);
  const shown = useSignal<Shown>("all");
  const all = useComputed(() => newestFlags(answer.value.value?.items ?? [], picture.value?.flags));
  const now = picture.value;
  if (now === null) return <WaitingFor what="Flags" />;
  const flags = all.value.filter((flag) => isShown(flag, shown.value));
  return (
    <section class="flags">
      <DoorTrouble />
      <ClockWrong />
      <header class="title">
        <h1>Flags</h1>
        <fieldset class="choices">
          <legend class="unseen">Which flags</legend>
          {filters.map(({ state, word }) => (
            <button
              key={state}
              type="button"
              class="choice"
              aria-pressed={shown.value === state}
              onClick={() => (shown.value = state)}
            >
              {word} <span class="light">{all.value.filter((flag) => isShown(flag, state)).length}</span>
            </button>
          ))}
        </fieldset>
      </header>
      {answer.value.trouble === null ? null : (
        <p class="note" role="status">
          Closed flags are not shown: {answer.value.trouble}. Trying again …
        </p>
      )}
      {flags.length === 0 ? <p class="note">{emptyWords(shown.value)}</p> : null}
      <ul class="flag-list">
        {handledFlags(flags).map((flag) => (
          <FlagCard
            key={flag.id}
            flag={flag}
            characteristic={flag.characteristic === null ? null : charted(now, flag.characteristic)}
            floor={now.floor}
          >
            {flag.common === undefined ? null : (
              <ul class="flag-list under">
                {all.value
                  .filter(({ parent }) => flag.state !== "done" && parent === flag.id)
                  .map((child) => (
                    <FlagCard
                      key={child.id}
                      flag={child}
                      characteristic={child.characteristic === null ? null : charted(now, child.characteristic)}
                      floor={now.floor}
                    />
                  ))}
              </ul>
            )}
          </FlagCard>
        ))}
      </ul>
    </section>
  );
}

/** Unseen ones still wait: whoever takes one has seen it. */
function isShown(flag: WireFlag, shown: Shown): boolean {
  if (shown === "unseen") return flag.state === "waiting" && flag.unseen !== null;
  return shown === "all" || flag.state === shown;
}

function newestFlags(
  listed: readonly WireFlag[],
  heard: ReadonlyMap<string, WireFlag> | undefined,
): readonly WireFlag[] {
  const byId = new Map(listed.map((flag) => [flag.id, flag]));
  for (const [id, flag] of heard ?? []) byId.set(id, flag);
  const flags = [...byId.values()];
  const closed = flags.filter((flag) => flag.state === "done");
  closed.sort((a, b) => (b.done?.at ?? b.foundAt).localeCompare(a.done?.at ?? a.foundAt));
  return [...byUrgency(flags.filter((flag) => flag.state !== "done")), ...closed];
}

function emptyWords(shown: Shown): string {
  if (shown === "waiting") return "Nothing waiting.";
  if (shown === "unseen") return "No waiting flag has outlived its shift.";
  if (shown === "taken") return "Nobody has taken a flag that is still open.";
  if (shown === "done") return "No flag has been closed yet.";
  return "No flag so far.";
}
