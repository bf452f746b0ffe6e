import { resolve } from "node:path";
import { type RuleId, ruleIds } from "../../../spc/rules/rule-ids.ts";
import { type StudyForm, studyForms } from "../../../spc/study/forms.ts";
import { type StudyOptions, usualOptions } from "../../../spc/study/request.ts";
import { UsageError } from "../usage-error.ts";
import { commandLine, oneFile } from "../verb.ts";
import { checkTogether } from "./check-together.ts";
import type { RowSpan } from "./places.ts";
import type { Reading } from "./reading.ts";
import { shown } from "./shown.ts";

/** The columns that a command names. */
export interface StudyColumns {
  readonly values: readonly string[];
  readonly count: string | null;
  readonly size: string | null;
  readonly subgroup: string | null;
  readonly time: string | null;
  readonly part: string | null;
  readonly nominal: string | null;
}

/** What the words after `steadypour study` ask for. */
export interface StudyCommand {
  readonly file: string;
  readonly form: StudyForm | null;
  readonly columns: StudyColumns;
  /** In data rows. */
  readonly baseline: RowSpan | null;
  readonly options: Omit<StudyOptions, "baseline">;
  readonly reading: Reading;
  readonly json: boolean;
  readonly svg: string | null;
  readonly html: string | null;
}

const text = { type: "string" } as const;
const texts = { type: "string", multiple: true } as const;
const known = {
  value: texts,
  count: text,
  size: text,
  subgroup: text,
  time: text,
  part: text,
  nominal: text,
  chart: text,
  lambda: text,
  width: text,
  k: text,
  h: text,
  span: text,
  centre: text,
  sigma: text,
  limits: text,
  basis: text,
  baseline: text,
  rules: texts,
  lower: text,
  upper: text,
  target: text,
  confidence: text,
  separator: text,
  decimal: text,
  encoding: text,
  svg: text,
  html: text,
  json: { type: "boolean" },
} as const;

/** Reads the command line; the first thing wrong with it is a UsageError of one line. */
export function studyCommand(args: readonly string[]): StudyCommand {
  const { values: given, words } = commandLine(attached(args), known);
  const number = (name: keyof typeof given, fits: (value: number) => boolean = () => true, what = "a number") =>
    numberOf(name, given[name] as string | undefined, fits, what);
  const name = (option: "count" | "size" | "subgroup" | "time" | "part" | "nominal") => column(option, given[option]);
  const above = (value: number): boolean => value > 0;
  const count = name("count");
  const command: StudyCommand = {
    file: oneFile(words),
    form: oneOf("chart", given.chart, studyForms),
    columns: {
      // A value beside a count is of another kind of data; the count says which.
      values: count === null ? listed("value", given.value) : [],
      count,
      size: name("size"),
      subgroup: name("subgroup"),
      time: name("time"),
      part: name("part"),
      nominal: name("nominal"),
    },
    baseline: baselineOf(given.baseline),
    options: {
      rules: rulesOf(given.rules),
      limits: oneOf("limits", given.limits, ["sigma", "exact"]) ?? usualOptions.limits,
      basis: oneOf("basis", given.basis, ["chart", "overall"]) ?? usualOptions.basis,
      centre: number("centre"),
      sigma: number("sigma", above, "a number above zero"),
      lambda: number("lambda", (value) => value > 0 && value <= 1, "a number above 0 and at most 1"),
      width: number("width", above, "a number above zero"),
      k: number("k", (value) => value >= 0, "a number of zero or more"),
      h: number("h", above, "a number above zero"),
      span: number("span", (value) => Number.isSafeInteger(value) && value >= 2, "a whole number of two or more"),
      lower: number("lower"),
      upper: number("upper"),
      target: number("target"),
      confidence:
        number("confidence", (value) => value > 0 && value < 1, "a number between 0 and 1, such as 0.95") ??
        usualOptions.confidence,
    },
    reading: {
      separator: oneOf("separator", given.separator, ["comma", "semicolon", "tab"]),
      decimal: oneOf("decimal", given.decimal, ["point", "comma"]),
      encoding: oneOf("encoding", given.encoding, ["utf-8", "latin-1"]),
    },
    json: given.json === true,
    svg: outputFile("svg", given.svg, words[0]!),
    html: outputFile("html", given.html, words[0]!),
  };
  checkTogether(command);
  return command;
}

/** A negative number after an option belongs to it, `--lower -5`; and what is no option is told with those there are. */
function attached(args: readonly string[]): readonly string[] {
  const words: string[] = [];
  for (const arg of args) {
    const option = words.at(-1);
    const name = option?.slice(2) ?? "";
    if (/^-[\d.]/.test(arg) && option?.startsWith("--") && Object.hasOwn(known, name))
      words.splice(-1, 1, `${option}=${arg}`);
    else words.push(arg);
  }
  for (const word of words) {
    if (word === "--") break;
    if (!word.startsWith("-") || word === "-") continue;
    const name = word.replace(/^--?/, "").replace(/=.*/s, "");
    if (word.startsWith("--") && Object.hasOwn(known, name)) continue;
    const options = Object.keys(known).map((one) => `--${one}`);
    throw new UsageError(`found ${shown(word)}, expected one of ${options.join(" ")}`);
  }
  for (const [at, word] of words.entries()) {
    const name = word.slice(2);
    if (!word.startsWith("--") || !Object.hasOwn(known, name) || name === "json") continue;
    const next = words[at + 1];
    if (next === undefined || next.startsWith("--"))
      throw new UsageError(`${word}: found nothing after it, expected a word`);
  }
  return words;
}

function numberOf(
  name: string,
  word: string | undefined,
  fits: (value: number) => boolean,
  what: string,
): number | null {
  if (word === undefined) return null;
  const value = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(word.trim()) ? Number(word) : Number.NaN;
  if (Math.abs(value) <= 1e300 && fits(value)) return value;
  throw new UsageError(`--${name}: found ${shown(word)}, expected ${what}`);
}

function oneOf<T extends string>(name: string, word: string | undefined, all: readonly T[]): T | null {
  if (word === undefined) return null;
  const found = all.find((one) => one === word);
  if (found !== undefined) return found;
  throw new UsageError(`--${name}: found ${shown(word)}, expected one of ${all.join(" ")}`);
}

function column(option: string, word: string | undefined): string | null {
  if (word === undefined) return null;
  const name = word.trim();
  if (name !== "") return name;
  throw new UsageError(`--${option}: found an empty word, expected the name of a column`);
}

function listed(option: string, words: readonly string[] = []): readonly string[] {
  const names = words.flatMap((word) => word.split(",")).map((one) => column(option, one)!);
  const twice = names.find((one, at) => names.indexOf(one) < at);
  if (twice === undefined) return names;
  throw new UsageError(`--${option}: found ${shown(twice)} twice, expected each once`);
}

function rulesOf(words: readonly string[] | undefined): readonly RuleId[] {
  if (words === undefined) return usualOptions.rules;
  const names = words.flatMap((word) => word.split(",")).map((word) => word.trim());
  if (names.length === 1 && names[0] === "none") return [];
  const unknown = names.find((one) => !ruleIds.some((id) => id === one));
  if (unknown === undefined) return ruleIds.filter((id) => names.includes(id));
  throw new UsageError(`--rules: found ${shown(unknown)}, expected none or some of ${ruleIds.join(" ")}`);
}

function baselineOf(word: string | undefined): RowSpan | null {
  if (word === undefined) return null;
  const match = /^(\d+):(\d+)$/.exec(word.trim());
  const [from, to] = [Number(match?.[1]), Number(match?.[2])];
  if (match !== null && Number.isSafeInteger(to) && from < to) return { from, to };
  throw new UsageError(
    `--baseline: found ${shown(word)}, expected FROM:TO in data rows from 0, FROM below TO, such as 0:25`,
  );
}

/** A picture must never be written over what it was drawn from. */
function outputFile(option: string, word: string | undefined, input: string): string | null {
  if (word === undefined) return null;
  if (word === "") throw new UsageError(`--${option}: found an empty word, expected the name of a file`);
  if (resolve(word) !== resolve(input)) return word;
  throw new UsageError(`--${option}: found the file that is read, expected the name of another`);
}
