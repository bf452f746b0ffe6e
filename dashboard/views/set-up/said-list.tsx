import { useSignal } from "@preact/signals";
import type { JSX } from "preact";
import type { WireSetUp, WireSetUpStation } from "../../../api/contract/set-up-wire.ts";
import { paths } from "../../client/paths.ts";
import { pictureMinuteMs } from "../../client/picture-store.ts";
import { mayTry } from "../../client/session.ts";
import { fromField, toField } from "../../model/bench-zoned.ts";
import { saidWords } from "../../model/set-up-words.ts";
import { siteTimes } from "../../model/times.ts";
import { type Asked, ReasonedForm } from "../by-hand/reasoned-form.tsx";

const right = "say-set-up";

interface ListProps {
  readonly here: WireSetUpStation;
  readonly zone: string;
  readonly corrected: () => void;
}

/** What was said of one station, newest first; what something else was said instead of stays to be read. */
export function SaidList(
  props: ListProps & { readonly items: readonly WireSetUp[] | null; readonly trouble: string | null },
): JSX.Element {
  const { items, trouble } = props;
  return (
    <section class="written" aria-labelledby="said">
      <h2 id="said">Said so far</h2>
      {trouble === null ? null : <p role="status">Not the newest: {trouble}. Trying again …</p>}
      {items === null ? null : items.length === 0 ? <p>Nothing yet at this station.</p> : null}
      <ul>
        {(items ?? []).map((item) => (
          <Said key={item.id} item={item} {...props} />
        ))}
      </ul>
    </section>
  );
}

function Said(props: ListProps & { readonly item: WireSetUp }): JSX.Element {
  const { item, here, zone } = props;
  const open = useSignal(false);
  const times = siteTimes(zone);
  const when = (at: string): string => times.near(Date.parse(at), pictureMinuteMs.value);
  const said = saidWords(item.words, here.words);
  const words = said === "" ? "taken back" : said;
  const gone = item.replacedBy !== null;
  return (
    <li data-set-up={item.id}>
      <p>
        from {when(item.from)} {gone ? <del>{words}</del> : <b>{words}</b>} <span class="light">{item.by}</span>
      </p>
      {item.instead === null ? null : <p class="light">Instead of what was said before: {item.reason}.</p>}
      {item.note === "" ? null : <p class="light">{item.note}</p>}
      {item.late ? (
        <p class="light">
          Said late, at {when(item.saidAt)}
          {item.knownFrom === null ? "" : `: runs that were cut before ${when(item.knownFrom)} keep what they had`}.
        </p>
      ) : null}
      {gone || !mayTry(right) ? null : open.value ? (
        <Correction
          {...props}
          close={() => (open.value = false)}
          saved={() => {
            open.value = false;
            props.corrected();
          }}
        />
      ) : (
        <button type="button" class="plain small" onClick={() => (open.value = true)}>
          Correct …<span class="unseen"> what was said from {when(item.from)} on</span>
        </button>
      )}
    </li>
  );
}

/** Something else instead, or nothing at all, with the reason. */
function Correction(
  props: ListProps & { readonly item: WireSetUp; readonly saved: () => void; readonly close: () => void },
): JSX.Element {
  const { item, here, zone } = props;
  const asked = (text: (name: string) => string, words: Readonly<Record<string, string>>): Asked => {
    const from = fromField(text("from"), zone);
    if (from === null) return "A day and a time.";
    // The minute that stands in the field is the one that was said, unless somebody changed it.
    return { words, ...(text("from") === fieldOf(item.from, zone) ? {} : { from }) };
  };
  return (
    <ReasonedForm<WireSetUp>
      class="correction"
      path={paths.correctSetUp(item.id)}
      right={right}
      submit="Correct"
      note="What was said stays to be read. Runs that are cut already keep what they had, and so do their points."
      read={(text) => {
        const words = here.words.flatMap(({ key }) =>
          text(`word-${key}`) === "" && !Object.hasOwn(item.words, key) ? [] : [[key, text(`word-${key}`)] as const],
        );
        return asked(text, Object.fromEntries(words));
      }}
      instead={{ words: "Take it back", read: (text) => asked(text, {}) }}
      done={props.saved}
      close={props.close}
    >
      {here.words.map(({ key, name, choices }) => (
        <div key={key} class="word">
          <label for={`${item.id}-${key}`}>{name}</label>
          {choices.length === 0 ? (
            <input
              id={`${item.id}-${key}`}
              name={`word-${key}`}
              maxLength={60}
              autocomplete="off"
              defaultValue={item.words[key] ?? ""}
            />
          ) : (
            <select id={`${item.id}-${key}`} name={`word-${key}`}>
              <option value="">{Object.hasOwn(item.words, key) ? "none" : "as it was"}</option>
              {choices.map((choice) => (
                <option key={choice} value={choice} selected={item.words[key] === choice}>
                  {choice}
                </option>
              ))}
            </select>
          )}
        </div>
      ))}
      <label>
        From when on
        <input type="datetime-local" name="from" required defaultValue={fieldOf(item.from, zone)} />
      </label>
    </ReasonedForm>
  );
}

function fieldOf(at: string, zone: string): string {
  return toField(at, zone).slice(0, 16);
}
