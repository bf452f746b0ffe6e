import { pino } from "pino";
import type { Log } from "../../../collector/platform/log.ts";
import { type BrokerMemoryBook, brokerMemory } from "../../../collector/source/broker-memory.ts";

/** A memory that lasts as long as its map, and a log whose lines are kept. */
export function quietMemory(
  kept: Map<string, string> = new Map(),
  lines: string[] = [],
): { readonly memory: BrokerMemoryBook; readonly log: Log } {
  const log = pino({ level: "info" }, { write: (line) => void lines.push(line) });
  const store = {
    remembered: (name: string): unknown => (kept.has(name) ? JSON.parse(kept.get(name)!) : undefined),
    remember: (name: string, value: unknown): void => void kept.set(name, JSON.stringify(value)),
  };
  return { log, memory: brokerMemory(store, log) };
}
