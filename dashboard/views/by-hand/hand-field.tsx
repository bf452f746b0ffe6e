import type { JSX } from "preact";
import type { WireHandField } from "../../../api/contract/hand-wire.ts";
import { clockMs } from "../../client/picture-store.ts";
import { fieldUnit, inputName, valuesWords } from "../../model/hand-words.ts";
import { sentenceCase } from "../../model/numbers.ts";
import { ageWord } from "../../model/times.ts";

/** One feature: as many inputs as pieces are measured, the unit beside them, and what was written last. */
export function HandField({ field }: { readonly field: WireHandField }): JSX.Element {
  const unit = fieldUnit(field);
  const name = sentenceCase(field.name);
  const hint = `hint-${field.feature}`;
  return (
    <fieldset class="hand-field">
      <legend>{name}</legend>
      <div class="inputs">
        {Array.from({ length: field.values }, (_, nth) => (
          <input
            key={inputName(field.feature, nth)}
            name={inputName(field.feature, nth)}
            inputMode="decimal"
            autocomplete="off"
            maxLength={20}
            aria-label={`${name}${field.values > 1 ? ` ${nth + 1} of ${field.values}` : ""}${unit === "" ? "" : `, ${unit}`}`}
            aria-describedby={hint}
          />
        ))}
        <span class="unit">{unit}</span>
      </div>
      <p class="light" id={hint}>
        {field.how === null ? null : <>{field.how}. </>}
        {field.last === null ? (
          "Nothing written yet."
        ) : (
          <>
            Last {valuesWords(field.last.values, field)}, {ageWord(clockMs.value - Date.parse(field.last.takenAt))} ago.
          </>
        )}
      </p>
    </fieldset>
  );
}
