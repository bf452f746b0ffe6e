import { createReadStream } from "node:fs";
import { readEnvironment } from "../../collector/platform/environment.ts";
import { openJournal } from "../../collector/store/embedded/embedded-journal.ts";
import type { JournalEntry, RunRecord } from "../../spc/model/journal-entry.ts";
import { CsvError, type CsvRecord, readCsv } from "./csv.ts";
import { columnsOf, type RunRow, rowReader } from "./import-row.ts";
import { readSite } from "./read-site.ts";
import { UsageError } from "./usage-error.ts";
import { commandLine, oneFile, type Verb } from "./verb.ts";

/** More mistakes than a person will read are only counted. */
const MOST_MISTAKES = 100;
const ENTRIES_A_TRANSACTION = 5_000;

export const importRuns: Verb = {
  form: "FILE.csv [--config SETTINGS] [--data FOLDER] [--skip-bad]",
  summary: "takes in past run values from a CSV file",
  help: `Takes in what a site wrote down of past runs: marked as imported on every chart, without a trace behind the dot,
usable as a baseline for limits. Imported runs never signal. The product may run meanwhile.

Columns, in any order, named in the first line:
  run      the site's own name of the run (may be empty)
  station  station id of the settings
  start    ISO 8601 with offset, such as 2026-09-25T06:00:00Z
  end      the same; empty means the start
  feature  feature id of the settings, such as mold.plateau
  value    a number
  unit     UCUM code; converted to the unit of the feature
  part     the part that ran, where charts are by part (column may be absent)
One line a value; the lines of a run share station and start.

With any bad line nothing is taken in, and every bad line is named. --skip-bad takes in the good ones.
Taking in the same file again changes nothing.
SETTINGS and FOLDER default to STEADYPOUR_CONFIG and STEADYPOUR_DATA.`,
  run: async (args, io) => {
    const { values, words } = commandLine(args, {
      config: { type: "string" },
      data: { type: "string" },
      "skip-bad": { type: "boolean" },
    });
    const file = oneFile(words);
    const environment = readEnvironment(process.env);
    const site = readSite(values.config ?? environment.config ?? "steadypour.yaml");
    const rows = await readRows(file, rowReader(site));
    if (rows.mistakes.length > 0) {
      const shown = rows.mistakes.slice(0, MOST_MISTAKES).map((mistake) => `${file}:${mistake}`);
      if (rows.mistakes.length > MOST_MISTAKES) shown.push(`and ${rows.mistakes.length - MOST_MISTAKES} more`);
      if (values["skip-bad"] !== true) throw new UsageError([...shown, "nothing was taken in"]);
      for (const line of shown) io.warn(line);
    }
    const records = recordsOf(rows.good);
    const added = append(values.data ?? environment.dataFolder, records);
    const skipped = rows.mistakes.length > 0 ? `, ${rows.mistakes.length} bad lines left out` : "";
    io.print(`${added} runs taken in, ${records.length - added} were there already${skipped}`);
  },
};

async function readRows(
  file: string,
  read: ReturnType<typeof rowReader>,
): Promise<{ readonly good: RunRow[]; readonly mistakes: string[] }> {
  const good: RunRow[] = [];
  const mistakes: string[] = [];
  let columns: ReturnType<typeof columnsOf> | undefined;
  try {
    for await (const record of records(file)) {
      if (columns === undefined) {
        columns = columnsOf(record);
        if (columns.missing.length > 0) throw new UsageError(`${file}:1:1: no column ${columns.missing.join(", ")}`);
        continue;
      }
      const row = read(record, columns.places);
      if ("mistakes" in row) mistakes.push(...row.mistakes);
      else good.push(row);
    }
  } catch (error) {
    if (error instanceof CsvError) throw new UsageError(`${file}:${error.line}:${error.column}: ${error.message}`);
    if (error instanceof Error && "syscall" in error) {
      throw new UsageError(`${file}: cannot be read, ${error.message}`);
    }
    throw error;
  }
  if (columns === undefined) throw new UsageError(`${file}: empty, expected a first line that names the columns`);
  return { good, mistakes };
}

function records(file: string): AsyncGenerator<CsvRecord> {
  return readCsv(createReadStream(file, { encoding: "utf8", highWaterMark: 1 << 20 }) as AsyncIterable<string>);
}

/** One record a run, its features in the order of the file; the first value of a feature wins. */
function recordsOf(rows: readonly RunRow[]): readonly RunRecord[] {
  const byRun = new Map<string, RunRow[]>();
  for (const row of rows) {
    const list = byRun.get(row.run.id) ?? [];
    byRun.set(row.run.id, list);
    if (!list.some(({ feature }) => feature.feature === row.feature.feature)) list.push(row);
  }
  const runs = [...byRun.values()].map((list) => ({
    run: list[0]!.run,
    imported: true,
    features: list.map(({ feature }) => feature),
  }));
  return runs.sort((a, b) => a.run.endMs - b.run.endMs);
}

function append(folder: string, runs: readonly RunRecord[]): number {
  const journal = openJournal(folder);
  try {
    let added = 0;
    for (let from = 0; from < runs.length; from += ENTRIES_A_TRANSACTION) {
      added += journal.append(runs.slice(from, from + ENTRIES_A_TRANSACTION).map(entryOf)).length;
    }
    return added;
  } finally {
    journal.close();
  }
}

function entryOf(record: RunRecord): JournalEntry {
  const { id, station, endMs: atMs } = record.run;
  return { kind: "run", body: record, id: `run/${id}`, station, subject: id, atMs };
}
