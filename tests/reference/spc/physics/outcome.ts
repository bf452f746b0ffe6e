import type { Outcome } from "../../../../spc/model/outcome.ts";

/** The value of an outcome; a refusal fails the test with its sentence. */
export function answerOf<T>(outcome: Outcome<T>): T {
  if (!outcome.ok) throw new Error(`${outcome.refusal.code}: ${outcome.refusal.detail}`);
  return outcome.value;
}

/** The code of a refusal; a value stands in its place as what it is, so that a test that expects none fails readably. */
export function codeOf(outcome: Outcome<unknown>): string {
  return outcome.ok ? `gave ${JSON.stringify(outcome.value)}` : outcome.refusal.code;
}
