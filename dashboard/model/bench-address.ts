import { type RuleId, ruleIds } from "../../spc/rules/rule-ids.ts";

/** A run left out of a trial, and why: all three are asked for, or it stays in. */
export interface LeftOut {
  readonly run: string;
  readonly cause: string;
  readonly evidence: string;
  readonly action: string;
}

/** Which runs trial limits are made from. */
export type TrialWindow =
  | { readonly from: string; readonly to: string }
  | { readonly last: number; readonly to?: string | undefined };

/** A trial of limits as it stands on the page. It is in the address, so that a link shows the same one. */
export interface TrialChoice {
  readonly window: TrialWindow;
  readonly basis: "chart" | "overall";
  /** Null: those of the settings. */
  readonly rules: readonly RuleId[] | null;
  readonly leftOut: readonly LeftOut[];
}

/** What the Bench shows: the span drawn, the flag asked about, and the trial, if one is open. */
export interface BenchAddress {
  /** Null: the newest points. */
  readonly span: { readonly from: string; readonly to: string } | null;
  readonly flag: string | null;
  readonly trial: TrialChoice | null;
}

export const plainBench: BenchAddress = { span: null, flag: null, trial: null };

/** Runs that a trial may take; the API says the same. */
export const mostWindowRuns = 1_000;
const mostLeftOut = 40;

/** Reads the address; what makes no sense in it is passed over, and shows as not being there. */
export function benchAddress(search: string): BenchAddress {
  const given = new URLSearchParams(search);
  const from = instant(given.get("from"));
  const to = instant(given.get("to"));
  const span = from !== null && to !== null && from < to ? { from, to } : null;
  return { span, flag: given.get("flag"), trial: trialOf(given) };
}

/** The same as text, beginning with `?`, or empty. */
export function benchSearch({ span, flag, trial }: BenchAddress): string {
  const said = new URLSearchParams();
  if (flag !== null) said.set("flag", flag);
  if (span !== null) {
    said.set("from", span.from);
    said.set("to", span.to);
  }
  if (trial !== null) {
    const { window } = trial;
    if ("last" in window) said.set("last", String(window.last));
    else said.set("base-from", window.from);
    if (window.to !== undefined) said.set("base-to", window.to);
    if (trial.basis === "overall") said.set("basis", "overall");
    if (trial.rules !== null) said.set("rules", trial.rules.join(","));
    for (const { run, cause, evidence, action } of trial.leftOut) {
      said.append("without", JSON.stringify([run, cause, evidence, action]));
    }
  }
  const text = said.toString();
  return text === "" ? "" : `?${text}`;
}

function trialOf(given: URLSearchParams): TrialChoice | null {
  const window = windowOf(given);
  if (window === null) return null;
  const named = given.get("rules")?.split(",") ?? null;
  const rules = named === null ? null : ruleIds.filter((rule) => named.includes(rule));
  const seen = new Set<string>();
  const leftOut = given
    .getAll("without")
    .flatMap(leftOutOf)
    .filter(({ run }) => !seen.has(run) && seen.add(run))
    .slice(0, mostLeftOut);
  return {
    window,
    basis: given.get("basis") === "overall" ? "overall" : "chart",
    rules: rules?.length === 0 ? null : rules,
    leftOut,
  };
}

function windowOf(given: URLSearchParams): TrialWindow | null {
  const from = instant(given.get("base-from"));
  const to = instant(given.get("base-to"));
  if (from !== null && to !== null && from < to) return { from, to };
  const last = given.get("last") ?? "";
  if (!/^\d{1,4}$/.test(last) || Number(last) < 1 || Number(last) > mostWindowRuns) return null;
  return to === null ? { last: Number(last) } : { last: Number(last), to };
}

function leftOutOf(text: string): readonly LeftOut[] {
  const parts = parsed(text);
  if (!Array.isArray(parts) || parts.length !== 4) return [];
  const [run, cause, evidence, action] = parts.map((part) => (typeof part === "string" ? part.trim() : ""));
  return run && cause && evidence && action ? [{ run, cause, evidence, action }] : [];
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    // A link cut off in a message: this one is not left out, which the page shows.
    return null;
  }
}

function instant(text: string | null): string | null {
  const ms = text === null || text === "" ? Number.NaN : Date.parse(text);
  return Number.isNaN(ms) ? null : new Date(ms).toISOString();
}
