import type { JSX } from "preact";
import { useEffect, useRef } from "preact/hooks";
import type { LeftOut } from "../../model/bench-address.ts";

/** A run is left out only with what caused it, how that is known, and what was done about it. */
export function ExclusionForm(props: {
  readonly name: string;
  readonly causes: readonly string[];
  readonly already: LeftOut | null;
  readonly record: (left: Omit<LeftOut, "run">) => void;
  readonly close: () => void;
}): JSX.Element {
  const form = useRef<HTMLFormElement>(null);
  useEffect(() => form.current?.querySelector<HTMLElement>("input")?.focus(), []);
  return (
    <form
      class="exclusion-form"
      ref={form}
      aria-label={`Leave ${props.name} out`}
      onSubmit={(event) => {
        event.preventDefault();
        const given = new FormData(event.currentTarget);
        const [cause, evidence, action] = ["cause", "evidence", "action"].map((name) =>
          String(given.get(name) ?? "").trim(),
        );
        if (cause && evidence && action) props.record({ cause, evidence, action });
      }}
      onKeyDown={(event) => {
        if (event.key === "Escape") props.close();
      }}
    >
      <p class="wide">
        <b>Leave {props.name} out.</b> Only with a cause that is known: a point that merely lies far out stays in.
      </p>
      <label>
        Cause
        <input
          name="cause"
          required
          maxLength={80}
          list="known-causes"
          autocomplete="off"
          defaultValue={props.already?.cause ?? ""}
        />
      </label>
      <datalist id="known-causes">
        {[...new Set(props.causes)].map((cause) => (
          <option key={cause} value={cause} />
        ))}
      </datalist>
      <label>
        Evidence: how it is known
        <input
          name="evidence"
          required
          maxLength={300}
          autocomplete="off"
          defaultValue={props.already?.evidence ?? ""}
        />
      </label>
      <label>
        Action: what was done so that it stays away
        <input name="action" required maxLength={300} autocomplete="off" defaultValue={props.already?.action ?? ""} />
      </label>
      <div class="buttons">
        <button type="submit" class="strong">
          Leave it out
        </button>
        <button type="button" class="plain" onClick={props.close}>
          Keep it in
        </button>
      </div>
    </form>
  );
}
