import type { JSX } from "preact";
import { clockMs } from "../../client/picture-store.ts";
import { toField } from "../../model/bench-zoned.ts";

/** Now, or earlier: then at which minute, in the field `name`. */
export function WhenFields(props: {
  readonly legend: string;
  readonly name: string;
  readonly earlier: boolean;
  readonly zone: string;
  readonly choose: (earlier: boolean) => void;
  readonly typed?: () => void;
}): JSX.Element {
  const { earlier, choose } = props;
  return (
    <fieldset>
      <legend>{props.legend}</legend>
      <label>
        <input type="radio" name="when" checked={!earlier} onChange={() => choose(false)} /> now
      </label>
      <label>
        <input type="radio" name="when" checked={earlier} onChange={() => choose(true)} /> earlier
      </label>
      {earlier ? (
        <label>
          at{" "}
          <input
            type="datetime-local"
            name={props.name}
            required
            onInput={props.typed}
            defaultValue={toField(new Date(clockMs.peek()).toISOString(), props.zone).slice(0, 16)}
          />
        </label>
      ) : null}
    </fieldset>
  );
}
