import { fork } from "node:child_process";
import { fileURLToPath } from "node:url";
import type { Bench, BenchResult } from "./bench.ts";

/** What a product that went through a stretch of the plant's life says of it. */
export interface DaySaid {
  readonly hours: number;
  readonly messages: number;
  readonly readings: number;
  readonly bytes: number;
  readonly runs: number;
  readonly features: number;
  readonly points: number;
  readonly judged: number;
  readonly signals: number;
  readonly flags: number;
  /** By the clock, and of the processor, for all but making the payloads. */
  readonly wallSeconds: number;
  readonly cpuSeconds: number;
  /** By part of the way. */
  readonly parts: Readonly<Record<string, number>>;
  /** Heap in use after a collection, MB, at each quarter of the stretch. */
  readonly heapMb: readonly number[];
  readonly peakRssMb: number;
}

/** What a day of the whole plant costs from payload to flag: its memory must not grow with it. */
export const pipelineDay: Bench = {
  name: "pipeline-day",
  run: async (note): Promise<BenchResult> => {
    const said = await inItsOwnProcess(24);
    for (const line of inWords(said)) note(line);
    const [first = 0] = said.heapMb;
    const last = said.heapMb.at(-1) ?? 0;
    if (last > 1.3 * first + 20) throw new Error("memory is not flat");
    const ours = (said.hours * 3600) / said.wallSeconds;
    return { name: "pipeline-day", ours, baseline: 1, unit: "s/s", ratio: ours, better: "higher", ask: 500 };
  },
};

function inWords(said: DaySaid): readonly string[] {
  const { messages, readings, bytes, runs, features, points, judged, signals, flags } = said;
  const { wallSeconds, cpuSeconds, parts, heapMb, peakRssMb } = said;
  const part = Object.entries(parts).map(([name, seconds]) => `${name} ${seconds.toFixed(1)} s`);
  return [
    `${messages} messages, ${readings} readings, ${(bytes / 1e6).toFixed(0)} MB`,
    `${runs} runs, ${features} features, ${points} points (${judged} judged), ${signals} signals, ${flags} flags`,
    `${wallSeconds.toFixed(1)} s by the clock (${part.join(", ")}), ${cpuSeconds.toFixed(1)} s of processor`,
    `heap by quarter ${heapMb.map((mb) => mb.toFixed(0)).join(", ")} MB, most resident ${peakRssMb.toFixed(0)} MB`,
  ];
}

function inItsOwnProcess(hours: number): Promise<DaySaid> {
  const worker = fileURLToPath(new URL("./pipeline-day-worker.js", import.meta.url));
  const child = fork(worker, [String(hours)], { execArgv: ["--expose-gc"] });
  return new Promise((resolve, reject) => {
    child.once("message", (said) => resolve(said as DaySaid));
    child.once("error", reject);
    child.once("exit", (code) => reject(new Error(`a day's pipeline ended with ${code}`)));
  });
}
