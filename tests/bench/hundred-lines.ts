import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pino } from "pino";
import { parse, stringify } from "yaml";
import { centralSite, linesIn } from "../../api/central/central-site.ts";
import { readModel } from "../../api/read-model/read-model.ts";
import { lineOf, noLine, segmentName } from "../../collector/lines/copied-line.ts";
import { takeCopies } from "../../collector/lines/take-copies.ts";
import { memoryBus } from "../../collector/platform/bus.ts";
import { systemClock } from "../../collector/platform/clock.ts";
import { openJournal } from "../../collector/store/embedded/embedded-journal.ts";
import type { JournalEntry } from "../../spc/model/journal-entry.ts";
import { limitsEntry, shotEntries } from "../contract/api/press-entries.ts";
import { temporaryFolder } from "../temporary-folder.ts";
import type { Bench } from "./bench.ts";

const lines = 100;
/** Presses of each line, and shots of each: six hours of one press. */
const presses = ["PR-01", "PR-02"];
const shots = 60;
/** Entries of one transaction of the baseline: about what a mebibyte of a copy holds. */
const atOnce = 1_000;

/**
 * Entries a second that an office takes from the copies of a hundred lines, read, held against their hashes and kept,
 * against the same entries appended to the same kind of journal without any copy.
 */
export const hundredLines: Bench = {
  name: "hundred-lines",
  run: async (note) => {
    const folder = temporaryFolder();
    try {
      const root = join(folder.path, "lines");
      const made = Array.from({ length: lines }, (_, n) => writeLine(root, `L${String(n).padStart(2, "0")}`));
      const count = made.reduce((sum, { length }) => sum + length, 0);
      const bare = openJournal(join(folder.path, "bare"));
      const baseline = aSecond(count, () => {
        for (const entries of made) {
          for (let from = 0; from < entries.length; from += atOnce) bare.append(entries.slice(from, from + atOnce));
        }
      });
      bare.close();
      const { lines: sites } = linesIn(root);
      const journal = openJournal(join(folder.path, "office"));
      const stations = new Map(sites.map(({ id, site }) => [id, new Set(site.stations.map((one) => one.id))]));
      const taking = takeCopies({
        ...{ lines: sites, journal, clock: systemClock, bus: memoryBus(), log: pino({ level: "silent" }) },
        stationsOf: (id) => stations.get(id) ?? new Set(),
      });
      const ours = aSecond(count, () => {
        while (taking.takeSome());
      });
      if (journal.lastSeq() !== count) throw new Error(`${journal.lastSeq()} entries were taken, of ${count}`);
      const idle = timed(() => void taking.takeSome());
      const own = sites[0]!.site;
      const model = readModel(centralSite(own, sites), journal);
      const began = performance.now();
      await model.load();
      note(`${count} entries of ${lines} lines with ${presses.length} presses each, ${shots} shots a press`);
      note(
        `read model of all: ${Math.round(performance.now() - began)} ms at a start, and ${megabytes()} MB of memory after it`,
      );
      note(`a look at all copies without anything new: ${idle.toFixed(1)} ms, once a second`);
      const ids = model.characteristicIds();
      const all = timed(() => {
        for (const id of ids) model.onFloor(id, 120, Date.now());
      });
      note(`points of all ${ids.length} strips: ${Math.round(all)} ms`);
      journal.close();
      return {
        name: "hundred-lines",
        ours,
        baseline,
        unit: "entries/s",
        ratio: ours / baseline,
        better: "higher",
        ask: null,
      };
    } finally {
      folder.remove();
    }
  },
};

/** The copy of one line, as its node leaves it, and what is in it. */
function writeLine(root: string, id: string): readonly JournalEntry[] {
  mkdirSync(join(root, id, "journal"), { recursive: true });
  writeFileSync(join(root, id, "site.yaml"), settingsOf(id));
  const ofOne = [
    limitsEntry(),
    ...Array.from({ length: shots }, (_, n) => shotEntries(n, n % 60 === 59 ? 0.85 : 0.9)).flat(),
  ];
  const text = JSON.stringify(ofOne);
  const entries = presses.flatMap(
    (press) => JSON.parse(text.replaceAll("PR-01", named(id, press))) as readonly JournalEntry[],
  );
  let hash = noLine;
  const copied = entries.map((entry, n) => {
    const line = lineOf({ ...entry, seq: n + 1 }, hash);
    hash = line.hash;
    return line.text;
  });
  writeFileSync(join(root, id, "journal", segmentName(1)), copied.join(""));
  return entries;
}

const demo = parse(readFileSync("simulator/ostrimvale.yaml", "utf8")) as Settings;

interface Settings {
  readonly site: { readonly name: string };
  readonly stations: readonly { readonly id: string; readonly source: string; readonly fedBy?: readonly string[] }[];
  readonly sources: readonly { readonly id: string; readonly topic: string }[];
  readonly stationKinds: Readonly<Record<string, unknown>>;
}

/** Short, for it stands in the titles of messages. */
function named(line: string, press: string): string {
  return `${line}-${press.slice(-1)}`;
}

/** The demo's presses, named after their line. */
function settingsOf(id: string): string {
  const stations = demo.stations
    .filter((station) => presses.includes(station.id))
    .map(({ fedBy: _, ...station }) => ({ ...station, id: named(id, station.id), source: `${id}-GW`, line: id }));
  return stringify({
    ...demo,
    site: { ...demo.site, name: `${demo.site.name}, ${id}` },
    lines: [{ id, name: id }],
    sources: [{ id: `${id}-GW`, topic: `ostrimvale/${id}/#` }],
    ...{ supplies: [], stations, stationKinds: { press: demo.stationKinds["press"] } },
  });
}

function timed(work: () => void): number {
  const began = performance.now();
  work();
  return performance.now() - began;
}

function aSecond(count: number, work: () => void): number {
  return (count / timed(work)) * 1000;
}

function megabytes(): number {
  return Math.round(process.memoryUsage.rss() / 1e6);
}
