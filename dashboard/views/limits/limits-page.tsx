import { useComputed, useSignal } from "@preact/signals";
import type { JSX } from "preact";
import { useEffect } from "preact/hooks";
import type { WireBooked, WireProposal } from "../../../api/contract/bench-wire.ts";
import { pages, paths } from "../../client/paths.ts";
import { limitsNews, picture, pictureMinuteMs } from "../../client/picture-store.ts";
import { amend } from "../../client/route.ts";
import type { Wording } from "../../model/bench-words.ts";
import { type BookFilter, bookFilter, bookSearch, bookStates, filtered, stateName } from "../../model/limits-words.ts";
import { counted } from "../../model/numbers.ts";
import { charted } from "../../model/picture.ts";
import { siteTimes } from "../../model/times.ts";
import { unitAfter, unitWord } from "../../model/units.ts";
import { FilterChoice } from "../shell/filter-choice.tsx";
import { NotNewest } from "../shell/not-newest.tsx";
import { Trouble } from "../shell/trouble.tsx";
import { useAnswer } from "../shell/use-answer.ts";
import { WaitingFor } from "../shell/waiting-for.tsx";
import { BookRows } from "./book-rows.tsx";
import { ProposalCard } from "./proposal-card.tsx";
import { useKept } from "./use-kept.ts";

interface Listed<T> {
  readonly items: readonly T[];
  readonly next: string | null;
}

/** Every limit set there is and was, what is proposed, and what has no limits yet. */
export function LimitsPage({ search }: { readonly search: string }): JSX.Element {
  const book = useAnswer<Listed<WireBooked>>(paths.limits);
  const open = useAnswer<Listed<WireProposal>>(paths.openProposals);
  const said = useSignal("");
  const kept = useKept(open.answer.value.value?.items ?? null);
  const news = useComputed(() => [...limitsNews.value.values()].reduce((sum, n) => sum + n, 0));
  useEffect(() => {
    if (news.value === 0) return;
    book.again();
    open.again();
  }, [news.value, book.again, open.again]);
  const now = picture.value;
  const zone = now?.floor.site.zone ?? null;
  const { value, trouble, refused } = book.answer.value;
  if (value === null || zone === null) {
    if (trouble !== null) return <Trouble what="No Limits Book" why={trouble} refused={refused} />;
    return (
      <WaitingFor what="Limits Book">
        <div class="outline book-outline" />
      </WaitingFor>
    );
  }
  const filter = bookFilter(search);
  const choose = (next: BookFilter): void => amend(`${pages.limits}${bookSearch(next)}`);
  const stations = [...new Set(value.items.map(({ characteristic }) => characteristic.station))];
  const wording = (one: WireBooked["characteristic"]): Wording => {
    const known = now === null ? null : charted(now, one.id);
    const unit = unitAfter(unitWord(one.unit, known?.reference ?? null, known?.quantity ?? null));
    return {
      digits: one.digits,
      runWord: one.runWord,
      subgroup: known?.subgroup ?? 1,
      unit,
      times: siteTimes(zone),
      now: pictureMinuteMs.value,
    };
  };
  const proposals = kept.filter(
    ({ characteristic }) => filter.station === null || characteristic.station === filter.station,
  );
  const shown = filtered(value.items, filter);
  const without = value.items.filter(({ missing }) => missing !== null).length;
  const changed = (): void => {
    book.again();
    open.again();
  };
  return (
    <article class="limits-page">
      <header class="title">
        <h1>
          <b>Limits Book</b>
        </h1>
        <p class="light">
          {counted(value.items.length, "chart")}, {without === 0 ? "all with limits" : `${without} without limits`},{" "}
          {counted(proposals.filter(({ state }) => state === "open").length, "open proposal")}
        </p>
        <a href={pages.plan}>Control plan</a>
        <FilterChoice
          name="Station"
          options={stations}
          chosen={filter.station}
          choose={(station) => choose({ ...filter, station })}
        />
        <FilterChoice
          name="State"
          options={bookStates}
          words={stateName}
          chosen={filter.state}
          choose={(state) => choose({ ...filter, state })}
        />
      </header>
      <NotNewest trouble={trouble} />
      <p class="unseen" role="status">
        {said.value}
      </p>
      {filter.state !== null && filter.state !== "trial" ? null : (
        <section aria-labelledby="open-proposals" class="open-proposals">
          <h2 id="open-proposals">Open proposals</h2>
          {open.answer.value.trouble === null ? null : (
            <p role="status">Proposals could not be read: {open.answer.value.trouble}.</p>
          )}
          {proposals.length === 0 && open.answer.value.value !== null ? (
            <p>No proposal waits for a second person.</p>
          ) : null}
          {proposals.map((proposal) => (
            <ProposalCard
              key={proposal.id}
              proposal={proposal}
              say={wording(proposal.characteristic)}
              zone={zone}
              changed={() => {
                said.value = `Proposal ${proposal.number} of ${proposal.characteristic.station} ${proposal.characteristic.name} was decided.`;
                changed();
              }}
            />
          ))}
        </section>
      )}
      {filter.state === "trial" ? null : value.items.length === 0 ? (
        <p class="note">No charts yet. The settings name what is charted.</p>
      ) : shown.length === 0 ? (
        <p class="note">
          Nothing in the book is so. <a href={pages.limits}>Show all</a>
        </p>
      ) : (
        <BookRows items={shown} wording={wording} />
      )}
      {value.next === null ? null : <p class="note">Only the first {value.items.length} charts are listed.</p>}
    </article>
  );
}
