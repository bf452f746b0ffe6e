import type { Signal } from "@preact/signals";
import type { JSX } from "preact";
import type { WireCharacteristic, WireFlag } from "../../../api/contract/wire.ts";
import { pages } from "../../client/paths.ts";
import { pairWords, pointsWords, waitingWords } from "../../model/chart-words.ts";
import type { Picture } from "../../model/picture.ts";
import { unitWord } from "../../model/units.ts";
import { FlagBar } from "../flags/flag-bar.tsx";

export interface ChartTitleProps {
  readonly characteristic: WireCharacteristic;
  readonly picture: Picture;
  readonly flags: readonly WireFlag[];
  readonly asTable: Signal<boolean>;
  readonly span: Signal<number | null>;
  readonly shown: number;
  readonly all: number;
  /** The store has older points than these. */
  readonly more: boolean;
}

const spans = [60, 120, 240] as const;

export function ChartTitle(props: ChartTitleProps): JSX.Element {
  const { characteristic, picture, asTable, span, shown, all } = props;
  const unit = unitWord(characteristic.unit, characteristic.reference, characteristic.quantity);
  const waiting = waitingWords(characteristic);
  const siblings = picture.floor.characteristics
    .map((one) => one.characteristic)
    .filter((one) => one.station === characteristic.station);
  return (
    <>
      <header class="title">
        <h1>
          <b>{characteristic.station}</b> {characteristic.name}
          {characteristic.part === null ? null : ` ${characteristic.part}`}
        </h1>
        <p class="light">
          {unit === "" ? "" : `${unit} · `}
          {pointsWords(characteristic)} · {pairWords(characteristic)} · in order of runs
        </p>
        {waiting === null ? null : (
          <p class="light" role="status" data-subgroup-waiting={characteristic.waiting.length}>
            {waiting}.
          </p>
        )}
        <fieldset class="choices">
          <legend class="unseen">How many points</legend>
          {spans.map((count) => (
            <button
              key={count}
              type="button"
              class="choice"
              aria-pressed={shown === count}
              onClick={() => (span.value = count)}
            >
              Last {count}
            </button>
          ))}
          <button
            type="button"
            class="choice"
            aria-pressed={shown >= all && !spans.some((one) => one === shown)}
            onClick={() => (span.value = Math.max(1, all))}
          >
            {props.more ? "Newest" : "All"} {all}
          </button>
        </fieldset>
        <button
          type="button"
          class="plain"
          aria-pressed={asTable.value}
          onClick={() => (asTable.value = !asTable.value)}
        >
          {asTable.value ? "Show as chart" : "Show as table"}
        </button>
      </header>
      {siblings.length < 2 ? null : (
        <nav class="siblings" aria-label={`Charts of ${characteristic.station}`}>
          {siblings.map((one) => (
            <a key={one.id} href={pages.chart(one.id)} aria-current={one.id === characteristic.id ? "page" : undefined}>
              {one.name}
              {one.part === null ? "" : ` ${one.part}`}
            </a>
          ))}
        </nav>
      )}
      {props.flags.map((flag) => (
        <FlagBar key={flag.id} flag={flag} floor={picture.floor} />
      ))}
    </>
  );
}
