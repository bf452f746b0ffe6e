import { createWriteStream } from "node:fs";
import { Readable } from "node:stream";
import { pipeline } from "node:stream/promises";
import { historyLines } from "./history.ts";
import type { PlantKey } from "./plant-layout.ts";

/** Writes the plant's past runs for fromMs <= t < toMs as CSV. */
export async function writeHistory(file: string, key: PlantKey, fromMs: number, toMs: number): Promise<void> {
  await pipeline(Readable.from(inBulk(historyLines(key, fromMs, toMs))), createWriteStream(file));
}

function* inBulk(lines: Iterable<string>): Generator<string> {
  let bulk = "";
  for (const line of lines) {
    bulk += `${line}\n`;
    if (bulk.length > 100_000) {
      yield bulk;
      bulk = "";
    }
  }
  yield bulk;
}
