import type { JSX } from "preact";
import type { WireBench } from "../../../api/contract/bench-wire.ts";
import { mostWindowRuns } from "../../model/bench-address.ts";
import type { Wording } from "../../model/bench-words.ts";
import { fromField, toField } from "../../model/bench-zoned.ts";
import { counted, plural } from "../../model/numbers.ts";
import type { OpenTrial } from "./use-trial.ts";

/** Which runs the trial takes, and what sigma is had from. */
export function WindowFields(props: {
  readonly bench: WireBench;
  readonly trial: OpenTrial;
  readonly say: Wording;
  readonly zone: string;
}): JSX.Element | null {
  const { trial, say, zone } = props;
  const { choice } = trial;
  if (choice === null) return null;
  const window = trial.answer.value?.window ?? null;
  const word = plural(say.runWord);
  const shown = "from" in choice.window ? choice.window : window;
  return (
    <div class="window-fields">
      <form
        onSubmit={(event) => {
          event.preventDefault();
          const last = Number(new FormData(event.currentTarget).get("last"));
          if (Number.isInteger(last) && last >= 1 && last <= mostWindowRuns)
            trial.choose({ ...choice, window: { last } });
        }}
      >
        <label>
          The newest{" "}
          <input
            key={window?.runs ?? 0}
            type="number"
            name="last"
            min={1}
            max={mostWindowRuns}
            required
            defaultValue={window === null ? "100" : String(window.runs)}
          />{" "}
          {word}
        </label>
        <button type="submit" class="plain small">
          Take these
        </button>
      </form>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          const given = new FormData(event.currentTarget);
          const [from, to] = ["from", "to"].map((name) => fromField(String(given.get(name)), zone));
          if (from != null && to != null && from < to) trial.choose({ ...choice, window: { from, to } });
        }}
      >
        <label>
          or from{" "}
          <input
            key={shown?.from ?? ""}
            type="datetime-local"
            step="1"
            name="from"
            required
            defaultValue={shown === null ? "" : toField(shown.from, zone)}
          />
        </label>
        <label>
          to{" "}
          <input
            key={shown?.to ?? ""}
            type="datetime-local"
            step="1"
            name="to"
            required
            defaultValue={shown === null ? "" : toField(new Date(Date.parse(shown.to) + 998).toISOString(), zone)}
          />
        </label>
        <button type="submit" class="plain small">
          Take these
        </button>
      </form>
      <fieldset class="basis">
        <legend>Sigma from</legend>
        {(["chart", "overall"] as const).map((basis) => (
          <label key={basis}>
            <input
              type="radio"
              name="basis"
              value={basis}
              checked={choice.basis === basis}
              onChange={() => trial.choose({ ...choice, basis })}
            />{" "}
            {basis === "chart" ? "the chart's own spread" : "all values, where neighbours lean on each other"}
          </label>
        ))}
      </fieldset>
      {window === null ? null : (
        <p class="light" data-window={window.runs}>
          {counted(window.runs, say.runWord)} in the window, {window.values} with a value. On the chart above it is
          marked; draw across the chart, or go to a point and use <i>Window begins here</i>.
        </p>
      )}
    </div>
  );
}
