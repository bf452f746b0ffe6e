import type { WireHandField, WireWritten } from "../../api/contract/hand-wire.ts";
import { figure } from "./numbers.ts";
import { unitAfter, unitWord } from "./units.ts";

/** What a field's text says: a number, nothing, or what is no number. */
export type Typed =
  | { readonly ok: true; readonly value: number | null }
  | { readonly ok: false; readonly found: string };

/** A number as people type it: with a decimal point or a decimal comma, and nothing else between its digits. */
export function typedNumber(text: string): Typed {
  const plain = text.trim().replace(/^\u2212/, "-");
  if (plain === "") return { ok: true, value: null };
  if (!/^[+-]?(\d+([.,]\d*)?|[.,]\d+)$/.test(plain)) return { ok: false, found: text.trim() };
  return { ok: true, value: Number(plain.replace(",", ".")) };
}

export interface FieldAsk {
  readonly feature: string;
  readonly unit: string;
  readonly values: readonly number[];
}

export interface FieldsRead {
  readonly values: readonly FieldAsk[];
  /** What stands in the way, by input name. */
  readonly mistakes: ReadonlyMap<string, string>;
}

/** Name of the input of the nth piece of a feature. */
export function inputName(feature: string, nth: number): string {
  return `${feature}#${nth}`;
}

/** Reads all fields of a form; a feature left empty was not measured, and one piece of several may be missing. */
export function readFields(fields: readonly WireHandField[], textOf: (name: string) => string): FieldsRead {
  const mistakes = new Map<string, string>();
  const values = fields.flatMap(({ feature, unit, values }): readonly FieldAsk[] => {
    const numbers: number[] = [];
    for (let nth = 0; nth < values; nth += 1) {
      const name = inputName(feature, nth);
      const typed = typedNumber(textOf(name));
      if (!typed.ok) mistakes.set(name, `A number such as 21.4, not “${typed.found}”`);
      else if (typed.value !== null) numbers.push(typed.value);
    }
    return numbers.length === 0 ? [] : [{ feature, unit, values: numbers }];
  });
  return { values, mistakes };
}

export function fieldUnit({ unit, reference, quantity }: WireHandField): string {
  return unitWord(unit, reference, quantity);
}

/** `22.1, 22.0, 21.9 g/L` */
export function valuesWords(values: readonly number[], field: Pick<WireHandField, "digits"> & UnitOf): string {
  const unit = unitAfter(unitWord(field.unit, field.reference, field.quantity));
  return `${values.map((value) => figure(value, field.digits)).join(", ")}${unit}`;
}

type UnitOf = Pick<WireHandField, "unit" | "reference" | "quantity">;

/** The values that hold now, and those that stood there before, oldest first. */
export function standing(written: WireWritten): {
  readonly values: readonly number[];
  readonly before: readonly (readonly number[])[];
} {
  const all = [written.values, ...written.corrections.map(({ values }) => values)];
  return { values: all.at(-1)!, before: all.slice(0, -1) };
}

/** The context in words: the part by its name alone, all else with its key. */
export function contextWords(context: Readonly<Record<string, string>>): string {
  return Object.entries(context)
    .map(([key, value]) => (key === "part" ? value : `${key} ${value}`))
    .join(" · ");
}
