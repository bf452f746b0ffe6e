import { basename } from "node:path";
import { systemClock } from "../../collector/platform/clock.ts";
import { readEnvironment } from "../../collector/platform/environment.ts";
import type { Site } from "../../collector/platform/settings/site.ts";
import { openJournalFile } from "../../collector/store/embedded/embedded-journal.ts";
import { runEntry } from "../../collector/store/entries.ts";
import type { Journal } from "../../collector/store/journal.ts";
import type { RunRecord } from "../../spc/model/journal-entry.ts";
import { hostActor } from "../people/seed-accounts.ts";
import { commandSite } from "./command-site.ts";
import { recordsOf } from "./csv-file.ts";
import { rowGroups } from "./group-rows.ts";
import { columnsOf, type RunPlaces, runColumns } from "./import-columns.ts";
import { rowReader } from "./import-row.ts";
import { UsageError } from "./usage-error.ts";
import { type CommandOutput, commandLine, counted, oneFile, type Verb } from "./verb.ts";

/** The product may be writing to the same journal: it must never wait long. */
const RUNS_A_TRANSACTION = 2_000;

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
One line a value. Lines of one station and start are one run and stand next to one another. Fields have commas between
them, and double quotes around them where they hold commas (RFC 4180), in UTF-8.

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
    const site = commandSite(values.config, environment);
    const nowMs = systemClock.nowMs();
    // Once to look, once to take in: a file of any size fits, and nothing is taken in before all of it was looked at.
    const mistakes = await eachRun(
      file,
      site,
      nowMs,
      () => {},
      (line) => io.warn(line),
    );
    if (mistakes > 0 && values["skip-bad"] !== true) {
      throw new UsageError(`${counted(mistakes, "bad line")}: nothing was taken in`);
    }
    const { journal, record } = openJournalFile(values.data ?? environment.dataFolder);
    try {
      const taken = taker(journal);
      await eachRun(file, site, nowMs, taken.take, () => {});
      const end = taken.end();
      if (end.added > 0) {
        const by = hostActor("command on this host");
        const added = { added: end.added, there: end.there, file: basename(file) };
        record.append({ kind: "runs-imported", subject: "runs", old: null, new: added, reason: "", by });
      }
      report(end, mistakes, io);
    } finally {
      journal.close();
    }
  },
};

/** Reads the file to its end, run by run; returns how many lines were bad. */
async function eachRun(
  file: string,
  site: Site,
  nowMs: number,
  take: (record: RunRecord) => void,
  warn: (line: string) => void,
): Promise<number> {
  const read = rowReader(site, nowMs);
  const groups = rowGroups();
  let places: RunPlaces | undefined;
  let bad = 0;
  const complain = (mistakes: readonly string[]): void => {
    bad += 1;
    for (const mistake of mistakes) warn(`${file}:${mistake}`);
  };
  for await (const record of recordsOf(file)) {
    if (places === undefined) {
      const header = columnsOf(record, runColumns);
      if ("mistakes" in header) throw new UsageError(header.mistakes.map((mistake) => `${file}:${mistake}`));
      places = header.places;
      continue;
    }
    const row = read(record, places);
    if ("mistakes" in row) {
      complain(row.mistakes);
      continue;
    }
    const { finished, mistake } = groups.add(row);
    if (mistake !== undefined) complain([mistake]);
    if (finished !== undefined) take(finished);
  }
  if (places === undefined) throw new UsageError(`${file}: empty, expected a first line that names the columns`);
  const last = groups.end();
  if (last !== undefined) take(last);
  return bad;
}

interface Taken {
  readonly added: number;
  readonly there: number;
  /** Runs that were there with other values, and stay so. */
  readonly others: readonly string[];
}

function taker(journal: Journal): { take(record: RunRecord): void; end(): Taken } {
  let held: RunRecord[] = [];
  let added = 0;
  let there = 0;
  const others: string[] = [];
  const write = (): void => {
    const entries = held.map(runEntry);
    held = [];
    const fresh = new Set(journal.append(entries).map(({ id }) => id));
    added += fresh.size;
    for (const entry of entries) {
      if (fresh.has(entry.id)) continue;
      there += 1;
      if (JSON.stringify(journal.find(entry.id)?.body) !== JSON.stringify(entry.body)) others.push(entry.subject);
    }
  };
  return {
    take: (record) => {
      held.push(record);
      if (held.length >= RUNS_A_TRANSACTION) write();
    },
    end: () => {
      write();
      return { added, there, others };
    },
  };
}

function report({ added, there, others }: Taken, mistakes: number, io: CommandOutput): void {
  for (const run of others) io.warn(`${run}: is there already with other values, which stay as they were`);
  const skipped = mistakes > 0 ? `, ${counted(mistakes, "bad line")} left out` : "";
  io.print(`${counted(added, "run")} taken in, ${there} were there already${skipped}`);
}
