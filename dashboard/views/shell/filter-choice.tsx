import type { JSX } from "preact";

/** A filter of a list: all of it, or one of some. */
export function FilterChoice<T extends string>(props: {
  readonly name: string;
  readonly all?: string;
  readonly options: readonly T[];
  readonly words?: (one: T) => string;
  readonly chosen: T | null;
  readonly choose: (one: T | null) => void;
}): JSX.Element {
  const { name, all = "all", options, words = (one) => one, chosen, choose } = props;
  return (
    <label>
      {name}{" "}
      <select
        value={chosen ?? ""}
        onChange={(event) => choose(options.find((one) => one === event.currentTarget.value) ?? null)}
      >
        <option value="">{all}</option>
        {options.map((one) => (
          <option key={one} value={one}>
            {words(one)}
          </option>
        ))}
      </select>
    </label>
  );
}
