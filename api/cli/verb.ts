import { type ParseArgsConfig, parseArgs } from "node:util";
import { UsageError } from "./usage-error.ts";

/** One command of `steadypour`. */
export interface Verb {
  /** What follows the verb, as the help prints it. */
  readonly form: string;
  readonly summary: string;
  readonly help: string;
  /** Rejects with a UsageError or a Fault; what it prints on success goes to stdout. */
  run(args: readonly string[], io: CommandOutput): Promise<void>;
}

export interface CommandOutput {
  print(line: string): void;
  warn(line: string): void;
}

type Options = NonNullable<ParseArgsConfig["options"]>;

/** Options and the other words of a command line; anything it does not know is a usage error. */
export function commandLine<O extends Options>(
  args: readonly string[],
  options: O,
): { readonly values: ReturnType<typeof parseArgs<{ options: O }>>["values"]; readonly words: readonly string[] } {
  try {
    const { values, positionals } = parseArgs({ args: [...args], options, allowPositionals: true, strict: true });
    return { values: values as ReturnType<typeof parseArgs<{ options: O }>>["values"], words: positionals };
  } catch (error) {
    if (error instanceof TypeError) throw new UsageError(error.message);
    throw error;
  }
}

export function oneFile(words: readonly string[]): string {
  if (words.length === 1) return words[0]!;
  throw new UsageError(`expected one file, found ${words.length === 0 ? "none" : words.join(" ")}`);
}

export function counted(n: number, word: string): string {
  return `${n} ${word}${n === 1 ? "" : "s"}`;
}
