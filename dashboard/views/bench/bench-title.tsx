import { type Signal, useSignal } from "@preact/signals";
import type { JSX } from "preact";
import type { WireBench } from "../../../api/contract/bench-wire.ts";
import { pages } from "../../client/paths.ts";
import { phoneWidth, windowSize } from "../../client/window-size.ts";
import { type BenchAddress, benchSearch } from "../../model/bench-address.ts";
import { benchCsv, fileName } from "../../model/bench-csv.ts";
import { kindOf } from "../../model/bench-words.ts";
import { fromField, toField } from "../../model/bench-zoned.ts";
import { pairWords, pointsWords } from "../../model/chart-words.ts";
import { unitWord } from "../../model/units.ts";
import { recordHead, saveText, svgText } from "./save-chart.ts";

export interface BenchTitleProps {
  readonly bench: WireBench;
  /** How far the next point has come, in words; null where every run is one. */
  readonly waiting: string | null;
  readonly address: BenchAddress;
  readonly go: (next: BenchAddress) => void;
  readonly asTable: Signal<boolean>;
  readonly zone: string;
  /** Links to the other charts of the station. */
  readonly siblings: JSX.Element | null;
}

/** What is drawn, over which span, and the ways to take it along. */
export function BenchTitle(props: BenchTitleProps): JSX.Element {
  const { bench, asTable } = props;
  const { characteristic: one } = bench;
  const said = useSignal("");
  const unit = unitWord(one.unit, bench.reference, bench.quantity);
  const kind = kindOf(bench);
  const phone = windowSize.value.width < phoneWidth;
  return (
    <>
      <header class="title">
        <h1>
          <b>{one.station}</b> {one.name}
          {one.part === null ? null : ` ${one.part}`}
        </h1>
        <p class="light">
          {unit === "" ? "" : `${unit} · `}
          {pointsWords(kind)} · {pairWords(kind)} · in order of runs
        </p>
        {props.waiting === null ? null : (
          <p class="light" role="status" data-subgroup-waiting>
            {props.waiting}.
          </p>
        )}
        <div class="tools">
          <button
            type="button"
            class="plain"
            aria-pressed={asTable.value}
            onClick={() => (asTable.value = !asTable.value)}
          >
            {asTable.value ? "Show as chart" : "Show as table"}
          </button>
          {phone ? null : <TakeAlong {...props} said={said} />}
        </div>
      </header>
      <p class="said light" role="status">
        {said.value}
      </p>
      {phone ? (
        <details class="span-fold">
          <summary>Span drawn, other charts, saving</summary>
          <SpanChoice {...props} />
          {props.siblings}
          <div class="tools">
            <TakeAlong {...props} said={said} />
          </div>
        </details>
      ) : (
        <>
          <SpanChoice {...props} />
          {props.siblings}
        </>
      )}
    </>
  );
}

/** The chart as figures, as a picture, and as an address that draws the same. */
function TakeAlong(props: BenchTitleProps & { readonly said: Signal<string> }): JSX.Element {
  const { bench, address, go, asTable, said } = props;
  const link = async (): Promise<void> => {
    const fixed = drawnSpan(bench);
    const next = fixed === null ? address : { ...address, span: fixed };
    go(next);
    const href = new URL(pages.bench(bench.characteristic.id, benchSearch(next)), window.location.href).href;
    try {
      await navigator.clipboard.writeText(href);
      said.value = "Copied. The address bar has it as well.";
    } catch {
      // Browsers keep the clipboard from pages without TLS: the address bar is copied by hand.
      said.value = "It stands in the address bar.";
    }
  };
  return (
    <>
      <button
        type="button"
        class="plain"
        onClick={() =>
          void recordHead().then((head) => saveText(benchCsv(bench, head), fileName(bench, "csv"), "text/csv"))
        }
      >
        Save CSV
      </button>
      <button
        type="button"
        class="plain"
        disabled={asTable.value || bench.points.length === 0}
        onClick={() => {
          const drawn = document.querySelector<SVGSVGElement>("[data-main-chart] svg.bench-pair");
          if (drawn === null) return;
          void recordHead().then((head) => saveText(svgText(drawn, head), fileName(bench, "svg"), "image/svg+xml"));
        }}
      >
        Save SVG
      </button>
      <button type="button" class="plain" onClick={() => void link()}>
        Permalink
      </button>
    </>
  );
}

/** First to last point drawn; the end is exclusive, so it lies a millisecond behind the last. */
function drawnSpan(bench: WireBench): BenchAddress["span"] {
  const [first, last] = [bench.points[0], bench.points.at(-1)];
  if (first === undefined || last === undefined) return null;
  return { from: first.at, to: new Date(Date.parse(last.at) + 1).toISOString() };
}

function SpanChoice({ bench, address, go, zone }: BenchTitleProps): JSX.Element | null {
  const drawn = drawnSpan(bench);
  if (drawn === null) {
    return address.span === null ? null : (
      <p class="span-choice">
        <button type="button" class="plain small" onClick={() => go({ ...address, span: null })}>
          Newest
        </button>
      </p>
    );
  }
  const [from, to] = [Date.parse(drawn.from), Date.parse(drawn.to)];
  const long = Math.max(60_000, to - from);
  const show = (fromMs: number, toMs: number): void =>
    go({ ...address, span: { from: new Date(fromMs).toISOString(), to: new Date(toMs).toISOString() } });
  return (
    <form
      class="span-choice"
      aria-label="Span drawn"
      onSubmit={(event) => {
        event.preventDefault();
        const given = new FormData(event.currentTarget);
        const [begin, end] = ["from", "to"].map((name) => fromField(String(given.get(name)), zone));
        if (begin != null && end != null && begin < end) go({ ...address, span: { from: begin, to: end } });
      }}
    >
      <button type="button" class="plain small" onClick={() => show(from - long, from)}>
        Earlier
      </button>
      <button type="button" class="plain small" onClick={() => show(to, to + long)} disabled={address.span === null}>
        Later
      </button>
      <button type="button" class="plain small" onClick={() => show(from - long, to)}>
        Twice as long
      </button>
      <button
        type="button"
        class="plain small"
        aria-pressed={address.span === null}
        onClick={() => go({ ...address, span: null })}
      >
        Newest 120
      </button>
      <label>
        from{" "}
        <input
          key={drawn.from}
          type="datetime-local"
          step="1"
          name="from"
          defaultValue={toField(drawn.from, zone)}
          required
        />
      </label>
      <label>
        to{" "}
        <input
          key={drawn.to}
          type="datetime-local"
          step="1"
          name="to"
          defaultValue={toField(new Date(to + 999).toISOString(), zone)}
          required
        />
      </label>
      <button type="submit" class="plain small">
        Draw
      </button>
      {bench.span.leftOff ? <span class="light">The newest 1,000 of these.</span> : null}
    </form>
  );
}
