import { useComputed, useSignal } from "@preact/signals";
import type { JSX } from "preact";
import { useEffect, useMemo } from "preact/hooks";
import type { WireBench } from "../../../api/contract/bench-wire.ts";
import { pages, paths } from "../../client/paths.ts";
import { limitsNews, picture } from "../../client/picture-store.ts";
import type { BenchAddress } from "../../model/bench-address.ts";
import { flagAsked, flagsShown, wordingOf } from "../../model/bench-words.ts";
import { waitingWords } from "../../model/chart-words.ts";
import { charted } from "../../model/picture.ts";
import { siteTimes } from "../../model/times.ts";
import { FlagBar } from "../flags/flag-bar.tsx";
import { ProposalCard } from "../limits/proposal-card.tsx";
import { useKept } from "../limits/use-kept.ts";
import { SourceTrouble } from "../shell/source-trouble.tsx";
import { Trouble } from "../shell/trouble.tsx";
import { useAnswer } from "../shell/use-answer.ts";
import { WaitingFor } from "../shell/waiting-for.tsx";
import { BenchChart } from "./bench-chart.tsx";
import { BenchTitle } from "./bench-title.tsx";
import { BenchWords } from "./bench-words.tsx";
import { PhaseOne } from "./phase-one.tsx";
import { RulePrices } from "./rule-prices.tsx";
import { useTrial } from "./use-trial.ts";

export interface BenchProps {
  readonly id: string;
  readonly address: BenchAddress;
  readonly zone: string;
  readonly go: (next: BenchAddress) => void;
}

/** One chart in full: the pair, why it flagged, what its limits rest on, what rules cost, and Phase I. */
export function Bench({ id, address, zone, go }: BenchProps): JSX.Element {
  const asked = useAnswer<WireBench>(paths.bench(id, address));
  const said = useSignal("");
  const asTable = useSignal(false);
  const picked = useSignal<string | null>(null);
  const opened = useSignal(false);
  const trial = useTrial(id, address, go);
  const waiting = asked.answer.value.value?.proposals;
  const open = useMemo(() => waiting?.filter(({ state }) => state === "open" || state === "stale") ?? null, [waiting]);
  const proposals = useKept(open);
  const stands = useComputed(() => standing(id));
  useEffect(() => {
    if (asked.answer.peek().value === null) return;
    const soon = setTimeout(asked.again, 300);
    return () => clearTimeout(soon);
  }, [stands.value, asked.again, asked.answer]);
  const { value: bench, trouble, refused } = asked.answer.value;
  if (bench === null || bench.characteristic.id !== id) {
    if (trouble !== null)
      return (
        <Trouble
          what={refused ? `No chart of ${id}` : `The chart of ${id} has not come`}
          why={trouble}
          refused={refused}
        />
      );
    return (
      <WaitingFor what="Chart">
        <div class="outline bench-outline" />
      </WaitingFor>
    );
  }
  const close = (): void => {
    opened.value = false;
    trial.close();
  };
  const times = siteTimes(zone);
  const say = wordingOf(bench, times);
  const flag = flagAsked(bench, address.flag);
  const floor = picture.value?.floor ?? null;
  const live = picture.value === null ? null : charted(picture.value, id);
  return (
    <article class="bench" data-bench={id} aria-busy={trouble !== null}>
      <BenchTitle
        bench={bench}
        waiting={live === null ? null : waitingWords(live)}
        address={address}
        go={go}
        asTable={asTable}
        zone={zone}
        siblings={<Siblings id={id} station={bench.characteristic.station} />}
      />
      {trouble === null ? null : (
        <p class="note" role="status">
          Not the newest: {trouble}. {refused ? "" : "Trying again …"}
        </p>
      )}
      <SourceTrouble station={bench.characteristic.station} />
      {floor === null
        ? null
        : flagsShown(bench, flag).map((one) => (
            <FlagBar key={one.id} flag={picture.value?.flags.get(one.id) ?? one} floor={floor} />
          ))}
      <BenchChart
        bench={bench}
        flag={flag}
        say={say}
        zone={zone}
        asTable={asTable.value}
        picked={picked}
        trial={trial}
      />
      <p class="unseen" role="status">
        {said.value}
      </p>
      {proposals.length === 0 ? null : (
        <section class="open-proposals" aria-label="Proposed limits">
          {proposals.map((proposal) => (
            <ProposalCard
              key={proposal.id}
              proposal={proposal}
              say={say}
              zone={zone}
              changed={() => {
                said.value = `Proposal ${proposal.number} was decided.`;
                asked.again();
              }}
            />
          ))}
        </section>
      )}
      {trial.choice === null ? null : (
        <PhaseOne
          bench={bench}
          trial={{ ...trial, close }}
          say={say}
          zone={zone}
          opened={opened.value}
          proposed={(proposal) => {
            said.value = `Proposal ${proposal.number} was made. Somebody else has to agree; until then nothing changes.`;
            close();
            asked.again();
          }}
        />
      )}
      <BenchWords
        bench={bench}
        flag={flag}
        say={say}
        trial={trial}
        opened={(by) => {
          opened.value = by;
        }}
      />
      <RulePrices bench={bench} trial={trial} />
    </article>
  );
}

/** The other charts of the same station: what moved with it. */
function Siblings({ id, station }: { readonly id: string; readonly station: string }): JSX.Element | null {
  const here = picture.value?.floor.characteristics
    .map(({ characteristic }) => characteristic)
    .filter((one) => one.station === station);
  if (here === undefined || here.length < 2) return null;
  return (
    <nav class="siblings" aria-label={`Charts of ${station}`}>
      {here.map((one) => (
        <a key={one.id} href={pages.bench(one.id)} aria-current={one.id === id ? "page" : undefined}>
          {one.name}
          {one.part === null ? "" : ` ${one.part}`}
        </a>
      ))}
    </nav>
  );
}

/** What would change this page: flags, limits, proposals and the newest point of its chart, as one word. */
function standing(id: string): string {
  const floor = picture.value?.floor;
  const flags =
    floor?.flags.filter((flag) => flag.characteristic === id).map((flag) => `${flag.id} ${flag.state}`) ?? [];
  const entry = floor?.characteristics.find(({ characteristic }) => characteristic.id === id);
  return [limitsNews.value.get(id), entry?.points.at(-1)?.run, ...flags].join(" ");
}
