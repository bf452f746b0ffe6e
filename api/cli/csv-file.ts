import { createReadStream } from "node:fs";
import { CsvError, readCsv } from "./csv.ts";
import { UsageError } from "./usage-error.ts";

/** Records of a CSV file of any size. One that cannot be read, or is no CSV from some line on, is the command's mistake. */
export async function* recordsOf(file: string): ReturnType<typeof readCsv> {
  const text = createReadStream(file, { encoding: "utf8", highWaterMark: 1 << 20 });
  try {
    yield* readCsv(text as AsyncIterable<string>);
  } catch (error) {
    if (error instanceof CsvError) throw new UsageError(`${file}:${error.line}:${error.column}: ${error.message}`);
    if (error instanceof Error && "syscall" in error) {
      throw new UsageError(`${file}: cannot be read, ${error.message}`);
    }
    throw error;
  }
}
