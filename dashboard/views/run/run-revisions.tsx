import { useSignal } from "@preact/signals";
import type { JSX } from "preact";
import { useEffect } from "preact/hooks";
import type { WireRecompute } from "../../../api/contract/recompute-wire.ts";
import type { WireRunSheet } from "../../../api/contract/wire.ts";
import { paths } from "../../client/paths.ts";
import { pictureMinuteMs } from "../../client/picture-store.ts";
import { mayTry } from "../../client/session.ts";
import { fromField, toField } from "../../model/bench-zoned.ts";
import { plural } from "../../model/numbers.ts";
import { siteTimes } from "../../model/times.ts";
import { ReasonedForm } from "../by-hand/reasoned-form.tsx";
import { RefusedControl } from "../people/refused-control.tsx";
import { useAnswer } from "../shell/use-answer.ts";

const right = "recompute";
const lookAgainMs = 1_500;

interface Props {
  readonly sheet: WireRunSheet;
  readonly zone: string;
  readonly changed: () => void;
}

/** Which revision stands, what each was asked for by, and how to have the run reckoned anew. */
export function RunRevisions(props: Props): JSX.Element | null {
  const { sheet, zone, changed } = props;
  const { run, revisions, readingsGone } = sheet;
  const asking = useSignal(false);
  const times = siteTimes(zone);
  if (run.imported || run.closedBy === "by-hand") return null;
  const when = (at: string): string => times.near(Date.parse(at), pictureMinuteMs.value);
  return (
    <section class="revisions" aria-labelledby="revisions" data-revision={revisions.at(-1)?.revision ?? 1}>
      <h2 id="revisions">Revision {revisions.at(-1)?.revision ?? 1}</h2>
      <ul>
        {[...revisions].reverse().map(({ revision, by, reason, at, context }) => (
          <li key={revision}>
            {[`${revision}: reckoned anew ${when(at)} for ${by}: ${reason}`, ...otherWords(run.context, context)].join(
              "; ",
            )}
          </li>
        ))}
        <li>
          1: as it was cut
          {revisions.length === 0 ? "" : ". Points and flags stand on it and stay as they were judged"}
        </li>
      </ul>
      {readingsGone[0] === undefined ? null : (
        <p data-readings-gone>
          Readings of this {run.runWord} are gone, found {when(readingsGone[0])}: what rests on them stays as it was.
        </p>
      )}
      {!mayTry(right) ? (
        <RefusedControl right={right} words="Reckon anew …" />
      ) : asking.value ? (
        <AskForm {...props} close={() => (asking.value = false)} changed={changed} />
      ) : (
        <button type="button" class="plain small" onClick={() => (asking.value = true)}>
          Reckon anew …
        </button>
      )}
    </section>
  );
}

/** What is known of the run now and was not, or was otherwise, when it was cut. */
function otherWords(first: WireRunSheet["run"]["context"], now: WireRunSheet["run"]["context"]): readonly string[] {
  const keys = [...new Set([...Object.keys(first), ...Object.keys(now)])];
  return keys.filter((key) => first[key] !== now[key]).map((key) => `${key} ${now[key] ?? "no more"}`);
}

/** This run, or all runs of the station in a span. */
function AskForm(props: Props & { readonly close: () => void }): JSX.Element {
  const { sheet, zone } = props;
  const { run } = sheet;
  const span = useSignal(false);
  const asked = useSignal<string | null>(null);
  const end = Date.parse(run.end);
  if (asked.value !== null) return <Result id={asked.value} station={run.station} runWord={run.runWord} {...props} />;
  return (
    <ReasonedForm<WireRecompute>
      class="ask-again"
      path={paths.recompute}
      right={right}
      submit="Reckon anew"
      note="By today's algorithms, settings and set-ups, from the same readings. What it gave first stays to be read, and what was judged stays as it was judged."
      read={(text) => {
        const from = span.peek() ? fromField(text("from"), zone) : run.end;
        const to = span.peek() ? fromField(text("to"), zone) : new Date(end + 1).toISOString();
        return from === null || to === null || to <= from
          ? "A day and a time each, the second after the first."
          : { station: run.station, from, to };
      }}
      done={({ id }) => (asked.value = id)}
      close={props.close}
    >
      <fieldset>
        <legend>Which</legend>
        <label>
          <input type="radio" name="which" checked={!span.value} onChange={() => (span.value = false)} /> this{" "}
          {run.runWord}
        </label>
        <label>
          <input type="radio" name="which" checked={span.value} onChange={() => (span.value = true)} /> all runs of{" "}
          {run.station} that ended in a span
        </label>
      </fieldset>
      {span.value ? (
        <>
          <label>
            From
            <input type="datetime-local" name="from" required defaultValue={field(end - 3_600_000, zone)} />
          </label>
          <label>
            To
            <input type="datetime-local" name="to" required defaultValue={field(end + 60_000, zone)} />
          </label>
        </>
      ) : null}
    </ReasonedForm>
  );
}

/** What came of it, asked for until it is there. */
function Result(
  props: Props & {
    readonly id: string;
    readonly station: string;
    readonly runWord: string;
    readonly close: () => void;
  },
): JSX.Element {
  const { id, station, runWord } = props;
  const { answer, again } = useAnswer<{ readonly items: readonly WireRecompute[] }>(paths.recomputations(station));
  const found = answer.value.value?.items.find((one) => one.id === id) ?? null;
  const result = found?.result ?? null;
  const over = result !== null;
  useEffect(() => {
    if (over) {
      props.changed();
      return;
    }
    const timer = setInterval(again, lookAgainMs);
    return () => clearInterval(timer);
  }, [over, again]);
  if (result === null) return <p role="status">Being reckoned anew, beside the readings that come in …</p>;
  const { runs, revised, gone } = result;
  return (
    <p role="status" data-reckoned={revised}>
      {runs === 0 ? `No ${runWord} ended in that span.` : `${runs} looked at, ${revised} with a new revision.`}
      {runs > 0 && revised === 0 ? " The others give what they gave." : ""}
      {gone === 0 ? "" : ` Of ${gone} ${plural(runWord)} readings are gone; their numbers stay as they were.`}{" "}
      <button type="button" class="plain small" onClick={props.close}>
        Good
      </button>
    </p>
  );
}

function field(atMs: number, zone: string): string {
  return toField(new Date(atMs).toISOString(), zone).slice(0, 16);
}
