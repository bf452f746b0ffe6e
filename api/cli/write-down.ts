import { memoryBus } from "../../collector/platform/bus.ts";
import { systemClock } from "../../collector/platform/clock.ts";
import { readEnvironment } from "../../collector/platform/environment.ts";
import { openJournalFile } from "../../collector/store/embedded/embedded-journal.ts";
import type { WriteDownAsk } from "../contract/hand-wire.ts";
import { type HandBook, handBook } from "../hand-book.ts";
import { hostActor } from "../people/seed-accounts.ts";
import { Problem } from "../problem.ts";
import { commandSite } from "./command-site.ts";
import type { CsvRecord } from "./csv.ts";
import { recordsOf } from "./csv-file.ts";
import { type ColumnPlaces, columnsOf } from "./import-columns.ts";
import { instantMs } from "./instant.ts";
import { UsageError } from "./usage-error.ts";
import { type CommandOutput, commandLine, counted, oneFile, type Verb } from "./verb.ts";
import { writtenNumber } from "./written-number.ts";

const columns = {
  needed: ["station", "feature", "taken", "value", "unit", "by"],
  extra: ["part", "lot", "note"],
} as const;
type Needed = (typeof columns)["needed"][number];
type Extra = (typeof columns)["extra"][number];
type Column = Needed | Extra;
type Places = ColumnPlaces<Needed, Extra>;

/** Lines of one station, feature, time and person, put together. */
interface Entry {
  readonly line: number;
  /** As the file says it. */
  readonly by: string;
  readonly ask: WriteDownAsk;
}

export const writeDown: Verb = {
  form: "FILE.csv [--config SETTINGS] [--data FOLDER] [--sure]",
  summary: "writes down values measured by hand from a CSV file",
  help: `Writes down what people measured, as the page By hand does: every value is charted, judged and may flag. The product may
run meanwhile. For a past that must not signal use import-runs.

Columns, in any order, named in the first line:
  station  station id of the settings
  feature  a feature with byHand in the settings
  taken    when it was measured: ISO 8601 with offset, such as 2026-09-25T06:00:00Z
  value    a number with a decimal point
  unit     UCUM code; converted to the unit of the feature
  by       who measured it
  part, lot, note   may be empty or absent
One line a value; lines of one station, feature and time that follow each other are pieces of one entry. Fields have commas
between them, and double quotes around them where they hold commas (RFC 4180), in UTF-8. Oldest first: a value taken before
the newest of its chart is kept and enters no chart.

With any bad line nothing is written, and every bad line is named. --sure takes values beyond what is plausible. Writing the
same file again changes nothing.
SETTINGS and FOLDER default to STEADYPOUR_CONFIG and STEADYPOUR_DATA.`,
  run: async (args, io) => {
    const { values, words } = commandLine(args, {
      config: { type: "string" },
      data: { type: "string" },
      sure: { type: "boolean" },
    });
    const file = oneFile(words);
    const environment = readEnvironment(process.env);
    const site = commandSite(values.config, environment);
    const { entries, mistakes } = await readEntries(file, values.sure === true);
    const { journal, record } = openJournalFile(values.data ?? environment.dataFolder);
    try {
      const book = handBook({ site, journal, clock: systemClock, bus: memoryBus(), access: { record } });
      const wrong = [...mistakes, ...entries.flatMap((entry) => refusedBy(() => book.check(entry.ask), file, entry))];
      if (wrong.length > 0)
        throw new UsageError([...wrong, `${counted(wrong.length, "mistake")}: nothing was written`]);
      writeAll(book, entries, { file, io });
    } finally {
      journal.close();
    }
  },
};

function writeAll(book: HandBook, entries: readonly Entry[], { file, io }: { file: string; io: CommandOutput }): void {
  let written = 0;
  for (const entry of entries) {
    const refused = refusedBy(
      () => book.write(entry.ask, { ...hostActor("command on this host"), name: entry.by }),
      file,
      entry,
    );
    for (const line of refused) io.warn(line);
    if (refused.length === 0) written += 1;
  }
  const left = entries.length - written;
  const kept = left === 0 ? "" : `, ${left} left as they stand`;
  io.print(`${written} ${written === 1 ? "entry" : "entries"} written down, or there already${kept}`);
}

/** What the book says against an entry, at its line. */
function refusedBy(work: () => void, file: string, { line }: Entry): readonly string[] {
  try {
    work();
    return [];
  } catch (error) {
    if (!(error instanceof Problem)) throw error;
    // The book speaks of the fields of a request.
    const words = error.message.replaceAll(/body\/(values\/0\/)?/g, "").replace("or sure: true if", "or --sure if");
    return [`${file}:${line}:1: ${words}`];
  }
}

async function readEntries(
  file: string,
  sure: boolean,
): Promise<{ readonly entries: readonly Entry[]; readonly mistakes: readonly string[] }> {
  const entries: Entry[] = [];
  const mistakes: string[] = [];
  let places: Places | undefined;
  for await (const record of recordsOf(file)) {
    if (places === undefined) {
      const header = columnsOf(record, columns);
      if ("mistakes" in header) throw new UsageError(header.mistakes.map((mistake) => `${file}:${mistake}`));
      places = header.places;
      continue;
    }
    const read = entryOf(record, places, sure);
    if ("mistakes" in read) {
      mistakes.push(...read.mistakes.map((mistake) => `${file}:${mistake}`));
      continue;
    }
    const before = entries.at(-1);
    if (before !== undefined && sameEntry(before, read)) entries[entries.length - 1] = joined(before, read);
    else entries.push(read);
  }
  if (places === undefined) throw new UsageError(`${file}: empty, expected a first line that names the columns`);
  return { entries, mistakes };
}

function entryOf(record: CsvRecord, places: Places, sure: boolean): Entry | { readonly mistakes: readonly string[] } {
  const { line, fields } = record;
  const expected = Object.keys(places).length;
  if (fields.length !== expected) {
    return { mistakes: [`${line}:1: found ${fields.length} fields, expected ${expected}`] };
  }
  const text = (column: Column): string => fields[places[column] ?? -1]?.trim() ?? "";
  const mistakes: string[] = [];
  const wrong = (column: Column, words: string): void => {
    const place = record.columns[places[column] ?? 0] ?? 1;
    mistakes.push(`${line}:${place}: ${column}: found ${text(column) || "nothing"}, expected ${words}`);
  };
  const takenAt = instantMs(text("taken"));
  if (takenAt === undefined) wrong("taken", "a time with its offset, such as 2026-09-25T06:00:00Z");
  const value = writtenNumber(text("value"));
  if (!Number.isFinite(value)) wrong("value", "a number with a decimal point");
  for (const column of ["station", "feature", "unit", "by"] as const) if (text(column) === "") wrong(column, "a text");
  if (takenAt === undefined || mistakes.length > 0) return { mistakes };
  const context = Object.fromEntries(
    (["part", "lot"] as const).flatMap((key) => (text(key) === "" ? [] : [[key, text(key)]])),
  );
  const values = [{ feature: text("feature"), unit: text("unit"), values: [value] }];
  return {
    line,
    by: text("by"),
    ask: { station: text("station"), takenAt, context, note: text("note"), values, sure },
  };
}

function sameEntry(a: Entry, b: Entry): boolean {
  const whole = ({ by, ask: { values, ...rest } }: Entry): string =>
    JSON.stringify([by, rest, values.map(({ feature, unit }) => [feature, unit])]);
  return whole(a) === whole(b);
}

function joined(before: Entry, next: Entry): Entry {
  const [one] = before.ask.values;
  const more = next.ask.values[0]!.values;
  return { ...before, ask: { ...before.ask, values: [{ ...one!, values: [...one!.values, ...more] }] } };
}
