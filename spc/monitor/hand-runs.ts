import type { RunRecord, WrittenDown } from "../model/journal-entry.ts";
import { runId } from "../model/run.ts";

/**
 * The runs of an entry by hand: each value is one, in the order of writing, a millisecond apart so that their order holds.
 *
 * @shape   one record a value; no segments and no trace
 * @unit    that of the entry
 * @method  runs are called after station, feature and time, so that they never meet a run cut from readings
 * @source  derived here
 * @checked tests/unit/pipeline/hand-values.test.ts
 */
export function handRuns(station: string, written: WrittenDown): readonly RunRecord[] {
  const { feature, unit, values, takenMs, context } = written;
  return values.map((value, nth): RunRecord => {
    const atMs = takenMs + nth;
    return {
      run: {
        id: runId(`${station}.${feature}`, atMs),
        station,
        startMs: atMs,
        endMs: atMs,
        closedBy: "by-hand",
        segments: [],
        context,
      },
      imported: false,
      // Version 0: no algorithm of ours made the number.
      features: [{ feature, version: 0, unit, value }],
    };
  });
}
