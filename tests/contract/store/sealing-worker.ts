import { openSampleStore } from "../../../collector/store/embedded/embedded-sample-store.ts";
import { incoming, places, reading } from "./incoming.ts";
import { sealedValue, timesOf } from "./sealing-stream.ts";

/**
 * Commits and seals as a process, to be killed: `node sealing-worker.js FOLDER FIRST`. Each commit holds new readings and
 * some that belong into what is sealed; it says `kept N` once commit N is on disk, and `seals` before it seals.
 */
const [folder = "", first = "0"] = process.argv.slice(2);
const store = openSampleStore(folder, places);
process.stdout.write("begins\n");
for (let n = Number(first); ; n += 1) {
  store.commit([incoming(timesOf(n).map((tMs) => reading(tMs, sealedValue(tMs))))]);
  process.stdout.write(`kept ${n}\n`);
  store.settle("PR-01", Number.MAX_SAFE_INTEGER);
  process.stdout.write("seals\n");
  while (store.sealSome());
}
