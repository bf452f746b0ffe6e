import { spawn } from "node:child_process";
import { closeSync, openSync, readFileSync, writeSync } from "node:fs";
import { join } from "node:path";
import { temporaryFolder } from "../temporary-folder.ts";
import { alternating, type Bench } from "./bench.ts";

const rows = 1_000_000;
const rounds = 3;

interface Took {
  readonly seconds: number;
  /** Null where the system does not tell. */
  readonly peakMiB: number | null;
}

/**
 * Rows a second of the whole command over a file, from its start to its last byte of JSON, against a process that only
 * cuts the same file apart and makes numbers of it.
 */
export const studyCsv: Bench = {
  name: "study-csv",
  run: async (note) => {
    const folder = temporaryFolder();
    try {
      const file = join(folder.path, "million.csv");
      writeRows(file, rows);
      const { ours, baseline, raw } = await alternating(rounds, async (ourFirst) => {
        const first = ourFirst ? await study(file) : await bare(file);
        const second = ourFirst ? await bare(file) : await study(file);
        const [our, their] = ourFirst ? [first, second] : [second, first];
        return { ours: rows / our.seconds, baseline: rows / their.seconds };
      });
      note(`rounds: ${JSON.stringify(raw)}`);
      for (const count of [1e4, 1e5, 1e6, 1e7]) {
        const one = join(folder.path, "growing.csv");
        writeRows(one, count);
        const { seconds, peakMiB } = await study(one);
        const peak = peakMiB === null ? "peak memory not told here" : `peak RSS ${Math.round(peakMiB)} MiB`;
        note(`${count} rows: ${seconds.toFixed(2)} s, ${peak}${count === 1e7 ? " (asked: at most 1024)" : ""}`);
      }
      return { name: "study-csv", ours, baseline, unit: "rows/s", ratio: ours / baseline, better: "higher", ask: null };
    } finally {
      folder.remove();
    }
  },
};

function study(file: string): Promise<Took> {
  return timed(["dist/api/cli/main.js", "study", file, "--value", "w", "--chart", "individuals", "--json"]);
}

function bare(file: string): Promise<Took> {
  return timed(["dist/tests/bench/take-csv.js", file]);
}

/** Runs it with its output thrown away. */
function timed(words: readonly string[]): Promise<Took> {
  return new Promise((resolve, reject) => {
    const from = performance.now();
    const child = spawn(process.execPath, words, { stdio: ["ignore", "ignore", "inherit"] });
    let peakMiB: number | null = null;
    const timer = setInterval(() => {
      peakMiB = peakOf(child.pid) ?? peakMiB;
    }, 10);
    child.once("error", reject);
    child.once("exit", (code) => {
      clearInterval(timer);
      if (code === 0) resolve({ seconds: (performance.now() - from) / 1000, peakMiB });
      else reject(new Error(`${words.join(" ")} ended with ${code}`));
    });
  });
}

/** The high-water mark so far, as Linux keeps it for each process. */
function peakOf(pid: number | undefined): number | null {
  try {
    const match = /VmHWM:\s+(\d+) kB/.exec(readFileSync(`/proc/${pid}/status`, "utf8"));
    return match === null ? null : Number(match[1]) / 1024;
  } catch {
    // Another system, or the process has just ended.
    return null;
  }
}

/** Values around 10 with three decimals, the same in every run. */
function writeRows(file: string, count: number): void {
  const handle = openSync(file, "w");
  let seed = 12345;
  let text = "id,w\n";
  for (let i = 0; i < count; i++) {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    text += `${i},${(9 + (2 * seed) / 2 ** 32).toFixed(3)}\n`;
    if (text.length > 2 ** 20) {
      writeSync(handle, text);
      text = "";
    }
  }
  writeSync(handle, text);
  closeSync(handle);
}
