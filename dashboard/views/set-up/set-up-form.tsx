import { useSignal } from "@preact/signals";
import type { JSX } from "preact";
import { useEffect, useRef } from "preact/hooks";
import type { WirePeople } from "../../../api/contract/bench-wire.ts";
import type { WireSetUp, WireSetUpStation } from "../../../api/contract/set-up-wire.ts";
import { pages, paths } from "../../client/paths.ts";
import { remember } from "../../client/person.ts";
import { clockMs } from "../../client/picture-store.ts";
import { amend } from "../../client/route.ts";
import { mayTry } from "../../client/session.ts";
import { fromField } from "../../model/bench-zoned.ts";
import { saidWords, scanned } from "../../model/set-up-words.ts";
import { siteTimes } from "../../model/times.ts";
import { EntryWords } from "../by-hand/entry-words.tsx";
import { useEntry } from "../by-hand/use-entry.ts";
import { WhenFields } from "../by-hand/when-fields.tsx";
import { RefusedControl } from "../people/refused-control.tsx";
import { ChoosePerson, firstChosen, PinField, signatureOf } from "../people/who-signs.tsx";
import { useAnswer } from "../shell/use-answer.ts";
import { WordField } from "./word-field.tsx";

const right = "say-set-up";

/** What was set up just now, or earlier. A word left alone stays as it is. */
export function SetUpForm(props: {
  readonly here: WireSetUpStation;
  readonly stations: readonly string[];
  readonly zone: string;
  readonly said: () => void;
}): JSX.Element {
  const { here, stations, zone } = props;
  const { words } = here;
  const entry = useEntry<WireSetUp>(paths.setUpBook);
  const form = useRef<HTMLFormElement>(null);
  const scan = useRef<HTMLInputElement>(null);
  const chosen = useSignal<Readonly<Record<string, string | null>>>({});
  const read = useSignal("");
  const earlier = useSignal(false);
  const signs = useSignal<string | null>(null);
  const done = useSignal("");
  /** A second press after no answer says the same of the same time, so it is written once. */
  const tried = useRef<string | null>(null);
  const people = useAnswer<WirePeople>(mayTry(right) ? paths.people : null);
  useEffect(() => scanAnywhere(scan), []);

  const changed = (): void => {
    tried.current = null;
    done.value = "";
    if (entry.state.peek().step !== "sending") entry.state.value = { step: "typing" };
  };
  const choose = (key: string, word: string | null): void => {
    chosen.value = { ...chosen.peek(), [key]: word };
    changed();
  };
  const take = (code: string): void => {
    const found = scanned(code, words, stations);
    if (found.kind === "station") {
      amend(pages.setUp(found.station));
      return;
    }
    if (found.kind === "unknown") {
      read.value = found.why;
      return;
    }
    choose(found.key, found.word);
    read.value = `${words.find(({ key }) => key === found.key)?.name ?? found.key} ${found.word}`;
  };

  const send = async (): Promise<void> => {
    const at = form.current;
    if (at === null || entry.state.peek().step === "sending") return;
    const given = new FormData(at);
    const text = (name: string): string => String(given.get(name) ?? "").trim();
    const said = Object.fromEntries(
      Object.entries(chosen.peek()).flatMap(([key, word]) => (word === null ? [] : [[key, word.trim()] as const])),
    );
    if (Object.keys(said).length === 0) {
      entry.state.value = { step: "said", words: "Nothing to write: scan a code, or choose a word." };
      return;
    }
    const from = earlier.peek()
      ? fromField(text("from"), zone)
      : (tried.current ?? new Date(clockMs.peek()).toISOString());
    if (from === null) {
      entry.state.value = { step: "said", words: "A day and a time." };
      return;
    }
    tried.current = from;
    const signature = signatureOf(given, right);
    const body = { station: here.station, ...signature, from, words: said, note: text("note") };
    const answer = await entry.send(body);
    if (answer === null) return;
    if (signature.by !== undefined) remember(signature.by);
    at.reset();
    chosen.value = {};
    earlier.value = false;
    tried.current = null;
    read.value = "";
    const since = siteTimes(zone).near(Date.parse(answer.from), clockMs.peek());
    done.value = `Written: ${saidWords(answer.words, words)}, for runs that begin from ${since} on.`;
    props.said();
    scan.current?.focus();
  };

  if (!mayTry(right)) return <RefusedControl right={right} words="Write down" strong />;
  const person = signs.value ?? firstChosen(right);
  const known = people.answer.value.value?.items ?? [];
  const sending = entry.state.value.step === "sending";
  return (
    <form
      class="hand-form set-up-form"
      ref={form}
      onSubmit={(event) => {
        event.preventDefault();
        void send();
      }}
      onKeyDown={(event) => {
        // A scanner ends each code with Enter: that goes on to the next field and sends nothing.
        if (event.key !== "Enter" || !(event.target instanceof HTMLInputElement) || event.target.name === "pin") return;
        event.preventDefault();
        if (event.target === scan.current) {
          take(event.target.value);
          event.target.value = "";
        } else nextField(event.currentTarget, event.target);
      }}
    >
      <label class="wide">
        Scan a code, or type it and press Enter
        <input
          ref={scan}
          name="scan"
          maxLength={80}
          autocomplete="off"
          autocapitalize="characters"
          spellcheck={false}
          onInput={changed}
        />
      </label>
      <p class="done" role="status" data-scanned>
        {read.value}
      </p>
      {words.map((word) => (
        <WordField
          key={word.key}
          word={word}
          now={here.now[word.key]}
          chosen={chosen.value[word.key] ?? null}
          zone={zone}
          choose={(value) => choose(word.key, value)}
        />
      ))}
      <WhenFields
        legend="From when on"
        name="from"
        earlier={earlier.value}
        zone={zone}
        choose={(chosenEarlier) => {
          earlier.value = chosenEarlier;
          changed();
        }}
        typed={changed}
      />
      <ChoosePerson known={known} right={right} chosen={person} choose={(id) => (signs.value = id)} />
      <PinField right={right} chosen={person} />
      <label class="wide">
        Note
        <input name="note" maxLength={500} autocomplete="off" onInput={changed} />
      </label>
      <EntryWords state={entry.state.value} sure={() => undefined} change={() => undefined} />
      <div class="buttons">
        <button type="submit" class="strong" aria-disabled={sending}>
          {sending ? "sending …" : "Write down"}
        </button>
      </div>
      <p class="done" role="status" data-said>
        {done.value}
      </p>
    </form>
  );
}

/** A scanner types wherever the keyboard is; with nothing in hand its code goes into the field for codes. */
function scanAnywhere(scan: { readonly current: HTMLInputElement | null }): () => void {
  const listen = (event: KeyboardEvent): void => {
    if (event.key.length !== 1 || event.ctrlKey || event.metaKey || event.altKey) return;
    if (document.activeElement === null || document.activeElement === document.body) scan.current?.focus();
  };
  document.addEventListener("keydown", listen);
  return () => document.removeEventListener("keydown", listen);
}

function nextField(form: HTMLFormElement, from: HTMLInputElement): void {
  const all = [...form.elements].filter((one): one is HTMLElement => one instanceof HTMLElement);
  const next = all.slice(all.indexOf(from) + 1).find((one) => one.matches("input, select, button"));
  next?.focus();
}
