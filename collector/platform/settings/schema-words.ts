import type { z } from "zod";
import type { Finding } from "./mistake.ts";
import { keysAt } from "./published-schema.ts";

type Issue = z.core.$ZodIssue;

const typeWords: Readonly<Record<string, string>> = {
  string: "text",
  number: "a number",
  int: "a whole number",
  boolean: "true or false",
  array: "a list",
  object: "a group of keys",
  record: "a group of keys",
};

/** What the schema refused of the settings, in plain words. */
export function findings(issues: readonly Issue[], settings: unknown): readonly Finding[] {
  return issues.flatMap((issue) => finding(issue, settings));
}

function finding(issue: Issue, settings: unknown): readonly Finding[] {
  const path = issue.path.map((part) => (typeof part === "symbol" ? part.toString() : part));
  switch (issue.code) {
    case "unrecognized_keys":
      return issue.keys.map((key) => ({
        path: [...path, key],
        found: `the key ${key}`,
        expected: keysWanted(keysAt(path, settings)),
        atKey: true,
      }));
    case "invalid_key":
      return [{ path, found: `the key ${String(path.at(-1))}`, expected: keyWords(issue.issues), atKey: true }];
    case "invalid_union":
      return unionFindings(issue, path, settings);
    default:
      return [{ path, expected: wanted(issue) }];
  }
}

function keyWords(issues: readonly Issue[]): string {
  return issues.map(wanted).join(" and ");
}

function unionFindings(
  issue: z.core.$ZodIssueInvalidUnion,
  path: Finding["path"],
  settings: unknown,
): readonly Finding[] {
  const { discriminator, options } = issue as { discriminator?: string; options?: readonly unknown[] };
  if (discriminator !== undefined && options !== undefined) {
    // An option that may be left out is among them as undefined.
    const named = options.filter((option) => option !== undefined);
    return [{ path: path.at(-1) === discriminator ? path : [...path, discriminator], expected: oneOf(named) }];
  }
  // The one that is meant, where only one is of that type at all.
  const meant = issue.errors.filter((of) => !of.some(({ code, path }) => code === "invalid_type" && path.length === 0));
  if (meant.length === 1) {
    return findings(
      meant[0]!.map((one) => ({ ...one, path: [...issue.path, ...one.path] })),
      settings,
    );
  }
  return [{ path, expected: issue.errors.map(keyWords).join(", or ") }];
}

function wanted(issue: Issue): string {
  switch (issue.code) {
    case "invalid_type":
      return typeWords[issue.expected] ?? issue.expected;
    case "invalid_value":
      return oneOf(issue.values);
    case "too_small":
      return sizeWords(issue.origin, "at least", issue.minimum, issue.inclusive !== false);
    case "too_big":
      return sizeWords(issue.origin, "at most", issue.maximum, issue.inclusive !== false);
    default:
      return issue.message;
  }
}

function sizeWords(origin: string, bound: "at least" | "at most", size: number | bigint, inclusive: boolean): string {
  if (origin === "string")
    return size === 1 && bound === "at least" ? "text, not empty" : `${bound} ${size} characters`;
  if (origin === "array") return `${bound} ${size} in the list`;
  if (!inclusive) return `a number ${bound === "at least" ? "above" : "below"} ${size}`;
  return `a number of ${bound} ${size}`;
}

export function oneOf(values: readonly unknown[]): string {
  if (values.length === 0) return "none: nothing of the kind is declared";
  return values.length === 1 ? String(values[0]) : `one of ${values.map(String).join(", ")}`;
}

function keysWanted(keys: readonly string[]): string {
  return keys.length === 0 ? "no such key" : `only ${keys.join(", ")}`;
}
