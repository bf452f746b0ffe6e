import type { JSX } from "preact";
import { unitAfter } from "../../model/units.ts";

/** A value with its unit smaller and lighter after a thin space. */
export function ValueText({ value, unit }: { readonly value: string; readonly unit: string }): JSX.Element {
  return (
    <>
      {value}
      {unit === "" ? null : <span class="unit">{unitAfter(unit)}</span>}
    </>
  );
}
