import type { StudyResult } from "../../../spc/study/result.ts";
import { characterChart, characterKey, type Emphasis } from "./character-chart.ts";
import { resultWords } from "./words.ts";

/** What the terminal can show. */
export interface TerminalLook {
  readonly columns: number;
  readonly colours: boolean;
}

const locationRows = 17;
const spreadRows = 9;

/** The look of a stream: eighty columns and no colours where it is no terminal, and none where NO_COLOR is set. */
export function lookOf(
  stream: { readonly isTTY?: boolean; readonly columns?: number },
  environment: Readonly<Record<string, string | undefined>>,
): TerminalLook {
  const isTerminal = stream.isTTY === true;
  const columns = isTerminal ? Math.min(120, Math.max(60, stream.columns ?? 80)) : 80;
  return { columns, colours: isTerminal && !environment["NO_COLOR"] && environment["TERM"] !== "dumb" };
}

/** A result for people: each chart drawn in characters, then the sentences. */
export function* terminalText(result: StudyResult, look: TerminalLook): Generator<string> {
  const emphasis: Emphasis = look.colours ? (text) => `\u001b[1;31m${text}\u001b[0m` : (text) => text;
  for (const [at, studied] of result.charts.entries()) {
    const rows = at === 0 ? locationRows : spreadRows;
    const lines = characterChart(studied, { columns: look.columns, rows }, emphasis);
    yield `${lines.join("\n")}\n\n`;
  }
  yield `${characterKey}\n`;
  for (const { head, lines } of resultWords(result)) {
    const heading = look.colours ? `\u001b[1m${head}\u001b[0m` : head;
    yield `\n${heading}\n${lines.flatMap((line) => wrapped(line, look.columns - 2)).join("\n")}\n`;
  }
}

/** Breaks a line between words; what goes on stands further in. */
function wrapped(line: string, width: number): readonly string[] {
  const inset = `  ${/^ */.exec(line)![0]}`;
  const lines: string[] = [];
  let now = inset;
  for (const word of line.trim().split(" ")) {
    const isFirst = now.trim() === "";
    if (!isFirst && now.length + 1 + word.length > width) {
      lines.push(now);
      now = `${inset}  ${word}`;
    } else now = isFirst ? `${now}${word}` : `${now} ${word}`;
  }
  return [...lines, now];
}
