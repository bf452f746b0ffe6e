import type { JSX } from "preact";
import type { WireSetUpStation, WireSetUpWord } from "../../../api/contract/set-up-wire.ts";
import { pictureMinuteMs } from "../../client/picture-store.ts";
import { siteTimes } from "../../model/times.ts";

/** More choices than this stand in a list. */
const mostButtons = 8;

/** One word: its choices as buttons that a glove hits, or a field; `null` says nothing of it, an empty word ends it. */
export function WordField(props: {
  readonly word: WireSetUpWord;
  readonly now: WireSetUpStation["now"][string] | undefined;
  readonly chosen: string | null;
  readonly zone: string;
  readonly choose: (word: string | null) => void;
}): JSX.Element {
  const { word, now, chosen, zone, choose } = props;
  const { key, name, choices } = word;
  const hint = `hint-${key}`;
  const button = (value: string, text: string): JSX.Element => (
    <button
      key={text}
      type="button"
      class="plain set-choice"
      aria-pressed={chosen === value}
      onClick={() => choose(chosen === value ? null : value)}
    >
      {text}
    </button>
  );
  return (
    <fieldset class="word-field" aria-describedby={hint} data-word={key}>
      <legend>{name}</legend>
      {choices.length === 0 ? (
        <input
          name={`word-${key}`}
          aria-label={name}
          aria-describedby={hint}
          maxLength={60}
          autocomplete="off"
          autocapitalize="characters"
          spellcheck={false}
          value={chosen ?? ""}
          onInput={(event) => choose(event.currentTarget.value.trim() === "" ? null : event.currentTarget.value)}
        />
      ) : choices.length > mostButtons ? (
        <select aria-label={name} value={chosen ?? ""} onChange={(event) => choose(event.currentTarget.value || null)}>
          <option value="">as it is</option>
          {choices.map((choice) => (
            <option key={choice} value={choice}>
              {choice}
            </option>
          ))}
        </select>
      ) : (
        choices.map((choice) => button(choice, choice))
      )}
      {now === undefined ? null : button("", `no ${name.toLowerCase()} any more`)}
      <p class="light" id={hint}>
        {now === undefined
          ? "Nothing said."
          : `${now.word} since ${siteTimes(zone).near(Date.parse(now.since), pictureMinuteMs.value)}, ${now.by}.`}
      </p>
    </fieldset>
  );
}
