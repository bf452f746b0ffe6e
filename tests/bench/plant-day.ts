import { fork } from "node:child_process";
import { fileURLToPath } from "node:url";
import { sources } from "../../simulator/plant-layout.ts";
import type { Bench, BenchResult } from "./bench.ts";

const hours = 24;

/** What a process says when its gateways are through the day. */
export interface HalfSaid {
  readonly messages: number;
  readonly readings: number;
  readonly bytes: number;
  readonly cpuSeconds: number;
  /** Heap in use after a collection, MB: after a quarter of the day, and at its end. */
  readonly quarterMb: number;
  readonly endMb: number;
}

/** Vibration takes as long as all else together. */
const halves = [["GW-CT", "GW-SL", "GW-ST"], sources.filter((s) => !["GW-CT", "GW-SL", "GW-ST"].includes(s))] as const;

/** The plant alone at full depth: every message of a day as text, by two processes, beside the day itself. */
export const plantDay: Bench = {
  name: "plant-day",
  run: async (note): Promise<BenchResult> => {
    const startedMs = performance.now();
    const said = await Promise.all(halves.map((half) => runHalf(half)));
    const wallSeconds = (performance.now() - startedMs) / 1000;
    said.forEach(({ messages, readings, bytes, cpuSeconds, quarterMb, endMb }, i) => {
      const heap = `heap ${quarterMb.toFixed(0)} MB after a quarter, ${endMb.toFixed(0)} MB at the end`;
      const much = `${messages} messages, ${readings} readings, ${(bytes / 1e6).toFixed(0)} MB`;
      note(`${halves[i]?.join(" ")}: ${much}, ${cpuSeconds.toFixed(1)} s of processor, ${heap}`);
      if (endMb > 1.3 * quarterMb + 20) throw new Error("memory is not flat");
    });
    note(`${wallSeconds.toFixed(1)} s by the clock; limited by the processor`);
    const ours = (hours * 3600) / wallSeconds;
    return { name: "plant-day", ours, baseline: 1, unit: "s/s", ratio: ours, better: "higher", ask: 1000 };
  },
};

function runHalf(half: readonly string[]): Promise<HalfSaid> {
  const worker = fileURLToPath(new URL("./plant-day-worker.js", import.meta.url));
  const child = fork(worker, [String(hours), ...half], { execArgv: ["--expose-gc"] });
  return new Promise((resolve, reject) => {
    child.once("message", (said) => resolve(said as HalfSaid));
    child.once("error", reject);
    child.once("exit", (code) => reject(new Error(`half a plant ended with ${code}`)));
  });
}
