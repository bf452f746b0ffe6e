import { systemClock } from "../../collector/platform/clock.ts";
import { readEnvironment } from "../../collector/platform/environment.ts";
import type { Site } from "../../collector/platform/settings/site.ts";
import { historyOf } from "../../collector/start.ts";
import { commandSite } from "./command-site.ts";
import { fileMark, linesOf } from "./import-lines.ts";
import {
  type ImportFormat,
  importAddress,
  importDecimal,
  importFormat,
  importTime,
  importToken,
  importUnits,
  importZone,
} from "./import-options.ts";
import { type ImportPoint, importPoints } from "./import-point.ts";
import { type ImportTarget, intoFolder, intoProduct } from "./import-target.ts";
import { noneTakenIn, together } from "./taken-in.ts";
import { UsageError } from "./usage-error.ts";
import { type CommandOutput, commandLine, counted, oneFile, type Verb } from "./verb.ts";

/** Mistakes that are written out; all are counted. */
const MISTAKES_TOLD = 100;
const PROGRESS_EVERY_MS = 2_000;
const START: ImportPoint = { offset: 0, line: 1, bad: 0 };

type HistoryOptions = Parameters<typeof historyOf>[2];

interface Job {
  readonly file: string;
  readonly site: Site;
  readonly format: ImportFormat;
  readonly options: HistoryOptions;
  readonly io: CommandOutput;
  readonly size: number;
}

export const importReadings: Verb = {
  form: "FILE [--format csv-long|csv-wide|line-protocol] [--config SETTINGS] [--data FOLDER | --to ADDRESS] [--skip-bad]",
  summary: "takes in past readings from CSV or line protocol",
  help: `Takes in past readings of the series of the settings. Each passes the checks of a message: series, unit, time, value.

csv-long       one reading a line. Columns series, time, value, and if there are any unit and quality (good, uncertain,
               bad), in any order, named in the first line. An empty value needs the quality bad.
csv-wide       one moment a line. The first line names time and then a series for each column; a second line that begins
               with unit may give their units. An empty field is no reading.
line-protocol  measurement,tag=x field=1.5,other=2i 1764057912345000000. Texts are no readings.
Left out, --format is what the first line shows. CSV is in UTF-8; between its fields stand commas, semicolons or tabs, as in its
first line.

--time FORM      how times stand there: iso (8601 with its offset), local (2026-11-25 08:05:12 or 25.11.2026 08:05:12, by the
                 site's clocks), or a number since 1970 in s, ms, us, ns. iso for CSV and ns for line protocol unless told.
                 Kept to the millisecond: of two in one, the first.
--zone NAME      of local times, where they are not the site's: a zone of the IANA database, such as UTC or Etc/GMT-1 (UTC+1
                 without daylight saving). A time that the clocks showed twice or skipped is wrong: write it with its offset.
--decimal MARK   CSV: point or comma, as in 0,85. point unless told.
--unit NAME=CODE UCUM code of a series, or of a role at all stations, where the file gives none: --unit pressure=bar.
                 Measured values without a unit are refused, never guessed. May be given several times.
--series FORM    line protocol: how a series is named, of {measurement}, {field} and tags: {measurement}/{field} unless told.
--ignore-others  names that are no series of the settings are passed over.
--skip-bad       what is right is taken in, what is wrong is named. Without it nothing is taken in where anything is wrong.
--token-file F   with --to: file with the token of a program that may hand in readings, where the product asks for one
--to ADDRESS     hands the readings to a product that runs, such as http://127.0.0.1:8080. Without it they go into FOLDER
                 itself, and the product must not run meanwhile.

Taking in the same file again adds nothing: of one series and time the first reading stays. An import into FOLDER that was
broken off goes on where it was; one with --to begins anew, which adds nothing twice.

A file in time order is judged as if it had come live: the product cuts it into runs when it starts next, and lists its
signals without sending them. A reading older than what is cut already, or by more than the settings' lateness behind its
source's newest, is kept and marked late: it shows in trends and enters no run. Runs of the past on charts: import-runs.
SETTINGS and FOLDER default to STEADYPOUR_CONFIG and STEADYPOUR_DATA.`,
  run: async (args, io) => {
    const { values, words } = commandLine(args, {
      config: { type: "string" },
      data: { type: "string" },
      to: { type: "string" },
      "token-file": { type: "string" },
      format: { type: "string" },
      time: { type: "string" },
      zone: { type: "string" },
      decimal: { type: "string" },
      unit: { type: "string", multiple: true },
      series: { type: "string" },
      "ignore-others": { type: "boolean" },
      "skip-bad": { type: "boolean" },
    });
    const file = oneFile(words);
    if (values.to !== undefined && values.data !== undefined) {
      throw new UsageError("found both --to and --data, expected one: a product that runs, or a folder");
    }
    const address = values.to === undefined ? null : importAddress(values.to);
    const environment = readEnvironment(process.env);
    const site = commandSite(values.config, environment);
    const format = importFormat(values.format, file);
    const options = {
      time: importTime(values.time, format),
      zone: importZone(values.zone ?? site.zone),
      decimal: importDecimal(values.decimal),
      units: importUnits(values.unit ?? []),
      othersIgnored: values["ignore-others"] === true,
      template: values.series ?? "{measurement}/{field}",
    };
    const mark = fileMark(file);
    const job = { file, site, format, options, io, size: mark.size };
    const skipBad = values["skip-bad"] === true;
    const folder = values.data ?? environment.dataFolder;
    // The folder first: where the product holds it, nobody waits for a long file to be looked at.
    const target =
      address === null ? intoFolder(folder, site, file) : intoProduct(address, site, importToken(values["token-file"]));
    try {
      const units = [...options.units];
      const points = address === null ? importPoints(folder, file, { mark, format, ...options, units, skipBad }) : null;
      const point = points?.read() ?? START;
      if (point.offset > 0) io.warn(`goes on at line ${point.line}, where it was broken off`);
      else if (!skipBad) lookThrough(job);
      await takeIn(job, target, point, (reached) => points?.save(reached));
      points?.remove();
    } finally {
      target.close();
    }
  },
};

/** Reads all of it and keeps nothing; a UsageError where anything is wrong. */
function lookThrough(job: Job): void {
  const { reader, rows } = historyOf(job.site, job.format, job.options, systemClock.nowMs());
  const tell = mistakeTeller(job, 0);
  const progress = progressOf(job, "looked through");
  for (const lines of linesOf(job.file, START)) {
    readLines(lines, reader, rows);
    tell.take(rows.rejections);
    mustBeReadable(job, reader);
    progress(lines.end, rows.taken);
    rows.empty();
  }
  if (tell.bad() > 0) throw new UsageError(`${counted(tell.bad(), "mistake")}: nothing was taken in`);
}

async function takeIn(
  job: Job,
  target: ImportTarget,
  from: ImportPoint,
  reached: (point: ImportPoint) => void,
): Promise<void> {
  const { reader, rows } = historyOf(job.site, job.format, job.options, systemClock.nowMs());
  if (from.offset > 0) readHead(job.file, reader, rows);
  const tell = mistakeTeller(job, from.bad);
  const progress = progressOf(job, "taken in");
  let sum = noneTakenIn;
  for (const lines of linesOf(job.file, from)) {
    readLines(lines, reader, rows);
    tell.take(rows.rejections);
    mustBeReadable(job, reader);
    const { taken } = rows;
    sum = together(sum, await target.write(rows.empty()));
    reached({ offset: lines.end, line: lines.first + lines.texts.length, bad: tell.bad() });
    progress(lines.end, taken);
  }
  const left = tell.bad() > 0 ? `, ${counted(tell.bad(), "bad one")} left out` : "";
  job.io.print(`${counted(sum.stored, "reading")} taken in, ${sum.duplicate} were there already${left}`);
  if (sum.late > 0) {
    const why = "older than what their source or station had already: they show in trends and enter no run";
    job.io.warn(`${sum.late} of them came late, ${why}`);
  }
}

type History = ReturnType<typeof historyOf>;

function readLines(
  { texts, first }: { readonly texts: readonly (string | null)[]; readonly first: number },
  reader: History["reader"],
  rows: History["rows"],
): void {
  for (let i = 0; i < texts.length; i++) {
    const text = texts[i]!;
    if (text === null) {
      rows.rejections.push({ code: "not-utf8", place: `${first + i}:1`, detail: "expected UTF-8 text" });
    } else if (!isBlank(text)) reader.take(text, first + i, rows);
  }
}

/** Spreadsheets end a table with lines of nothing but separators. */
function isBlank(text: string): boolean {
  return /^[\s,;]*$/.test(text);
}

/** Without columns nothing can be read, so no line is right either: `--skip-bad` does not help. */
function mustBeReadable({ file }: Job, reader: History["reader"]): void {
  if (reader.isReadable()) return;
  throw new UsageError(`${file}: its first line does not say what the columns are: nothing was taken in`);
}

/** What the columns are stands at the top: whoever begins in the middle reads that first, and keeps nothing of it. */
function readHead(file: string, reader: History["reader"], rows: History["rows"]): void {
  let left = reader.headLines;
  for (const { texts, first } of linesOf(file, START)) {
    for (let i = 0; i < texts.length && left > 0; i++) {
      const text = texts[i]!;
      if (text === null || isBlank(text)) continue;
      reader.take(text, first + i, rows);
      left -= 1;
    }
    if (left === 0) break;
  }
  rows.empty();
}

function mistakeTeller(
  { file, io }: Job,
  before: number,
): { take(found: History["rows"]["rejections"]): void; bad(): number } {
  let bad = before;
  let told = 0;
  return {
    take: (found) => {
      bad += found.length;
      for (const { place, code, detail } of found.slice(0, MISTAKES_TOLD - told)) {
        io.warn(`${file}:${place}: ${code}: ${detail}`);
        told += 1;
        if (told === MISTAKES_TOLD) io.warn("further mistakes are counted and not written out");
      }
    },
    bad: () => bad,
  };
}

function progressOf({ io, size }: Job, done: string): (end: number, readings: number) => void {
  let toldMs = performance.now();
  const beganMs = toldMs;
  let all = 0;
  return (end, readings) => {
    all += readings;
    const nowMs = performance.now();
    if (nowMs - toldMs < PROGRESS_EVERY_MS) return;
    toldMs = nowMs;
    const share = Math.floor((100 * end) / Math.max(size, 1));
    const rate = Math.round((1000 * all) / (nowMs - beganMs));
    io.warn(`${done}: ${share} % of the file, ${all} readings, ${rate} a second`);
  };
}
