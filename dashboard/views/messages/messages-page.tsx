import type { JSX } from "preact";
import { useEffect } from "preact/hooks";
import type { WireDevice, WireMessage, WireMessageSetUp } from "../../../api/contract/message-wire.ts";
import type { WireFlag } from "../../../api/contract/wire.ts";
import { pages, paths } from "../../client/paths.ts";
import { picture } from "../../client/picture-store.ts";
import { amend } from "../../client/route.ts";
import {
  deliveryStates,
  deliveryStateWords,
  type LedgerFilter,
  ledgerFilter,
  ledgerSearch,
  ledgerShows,
} from "../../model/message-words.ts";
import { counted } from "../../model/numbers.ts";
import { siteTimes } from "../../model/times.ts";
import { FilterChoice } from "../shell/filter-choice.tsx";
import { NotNewest } from "../shell/not-newest.tsx";
import { Trouble } from "../shell/trouble.tsx";
import { useAnswer } from "../shell/use-answer.ts";
import { WaitingFor } from "../shell/waiting-for.tsx";
import { LedgerEntry } from "./ledger-entry.tsx";
import { Reachable } from "./reachable.tsx";

/** Messages that one look at the ledger holds. */
const most = 100;
const lookAgainMs = 5_000;

interface Listed {
  readonly items: readonly WireMessage[];
  readonly next: string | null;
}

/** Who is told of what, whether phones can be reached, and what became of every message. */
export function MessagesPage({ search }: { readonly search: string }): JSX.Element {
  const filter = ledgerFilter(search);
  const about = useAnswer<WireMessageSetUp>(paths.messageSetUp);
  const devices = useAnswer<{ readonly items: readonly WireDevice[] }>(paths.devices);
  const ledger = useAnswer<Listed>(paths.messages(filter, most));
  useEffect(() => {
    const timer = setInterval(() => {
      for (const one of [about, devices, ledger]) if (one.answer.peek().trouble === null) one.again();
    }, lookAgainMs);
    return () => clearInterval(timer);
  }, [about.again, devices.again, ledger.again]);
  const { value: setUp, trouble, refused } = about.answer.value;
  const zone = picture.value?.floor.site.zone ?? setUp?.zone ?? null;
  if (setUp === null || zone === null) {
    if (trouble !== null) return <Trouble what="No Message Routes" why={trouble} refused={refused} />;
    return (
      <WaitingFor what="Message Routes">
        <div class="outline book-outline" />
      </WaitingFor>
    );
  }
  const times = siteTimes(zone);
  const lost = [about, devices, ledger].find(({ answer }) => answer.value.trouble !== null)?.answer.value.trouble;
  return (
    <article class="messages-page">
      <header class="title">
        <h1>
          <b>Message Routes</b>
        </h1>
        <p class="light">Web Push to phones. A message tells of a flag; only a person takes it.</p>
        <p class="tools">
          <a href={pages.pocketSetUp}>Set up or test this phone</a>
          <a href={pages.pocket}>Pocket, the flags on a phone</a>
        </p>
      </header>
      <NotNewest trouble={lost} />
      {setUp.on ? null : (
        <p class="note" role="status" data-messages-off>
          <b>No message leaves this server</b>, for its settings have no <code>messages.contact</code>. Flags stand on
          the Floor and wait there; nobody is told on a phone.
        </p>
      )}
      {setUp.trouble.map(({ service, status, since }) => (
        <p key={service} class="note" role="alert">
          <b>{service} does not let this server in</b> ({status}, since {times.minute(Date.parse(since))}): its key, its
          clock or the contact in its settings. Messages to phones of that maker wait.
        </p>
      ))}
      <Reachable setUp={setUp} devices={devices.answer.value.value?.items ?? null} times={times} />
      <Ledger setUp={setUp} filter={filter} listed={ledger.answer.value.value} zone={zone} />
    </article>
  );
}

function Ledger(props: {
  readonly setUp: WireMessageSetUp;
  readonly filter: LedgerFilter;
  readonly listed: Listed | null;
  readonly zone: string;
}): JSX.Element {
  const { setUp, filter, listed, zone } = props;
  const choose = (next: Partial<LedgerFilter>): void =>
    amend(pages.messages(ledgerSearch({ ...filter, after: null, ...next })));
  const closed = useAnswer<{ readonly items: readonly WireFlag[] }>(paths.flags).answer.value.value?.items ?? [];
  const flags = new Map([...closed.map((one) => [one.id, one] as const), ...(picture.value?.flags ?? [])]);
  const shown = listed?.items.filter((one) => ledgerShows(one, filter)) ?? [];
  return (
    <section aria-labelledby="ledger" class="ledger-part">
      <header class="title">
        <h2 id="ledger">What became of each message</h2>
        <FilterChoice
          name="To"
          all="everybody"
          options={setUp.persons.map(({ id }) => id)}
          words={(person) => setUp.persons.find(({ id }) => id === person)?.name ?? person}
          chosen={filter.person}
          choose={(person) => choose({ person })}
        />
        <FilterChoice
          name="State"
          options={deliveryStates}
          words={deliveryStateWords}
          chosen={filter.state}
          choose={(state) => choose({ state })}
        />
        {filter.flag === null ? null : (
          <button type="button" class="plain small" onClick={() => choose({ flag: null })}>
            Of one flag: show all
          </button>
        )}
      </header>
      {listed === null ? (
        <p class="note">Reading the ledger …</p>
      ) : listed.items.length === 0 ? (
        <p class="note">
          {filter.flag !== null
            ? "Nobody was sent a message of this flag."
            : filter.after !== null
              ? "No older messages."
              : setUp.on
                ? "No message so far. One leaves when a flag opens whose label and time fit somebody."
                : "No message so far."}
        </p>
      ) : shown.length === 0 ? (
        <p class="note">None of these {counted(listed.items.length, "message")} is so.</p>
      ) : (
        <ul class="ledger">
          {shown.map((message) => (
            <LedgerEntry
              key={message.id}
              message={message}
              flag={message.flag === null ? undefined : flags.get(message.flag)}
              zone={zone}
            />
          ))}
        </ul>
      )}
      <p class="pages">
        {filter.after === null ? null : (
          <button type="button" class="plain small" onClick={() => choose({ after: null })}>
            Newest
          </button>
        )}
        {listed?.next == null ? null : (
          <button type="button" class="plain small" onClick={() => choose({ after: listed.next })}>
            Older messages
          </button>
        )}
      </p>
    </section>
  );
}
