import { isDeepStrictEqual } from "node:util";
import { killRun, samplesOf, type Way } from "./kill.ts";
import { plantStream, type StreamMessage } from "./plant-stream.ts";
import type { Found } from "./what-was-found.ts";

const hourMs = 3_600_000;
const streamMs = 40 * 60_000;

/**
 * Kills the product at random moments of a stream and compares with a run that nobody killed. Gives what was done, and
 * every way in which it did not hold: none, when nothing acknowledged is lost and nothing is counted twice.
 */
export async function killCheck(
  way: Way,
  kills: number,
): Promise<{ readonly said: string; readonly complaints: string[] }> {
  // Forty minutes of the whole plant, as gateways send them after an outage: as fast as they are taken.
  const fromMs = Math.floor(Date.now() / hourMs) * hourMs - 3 * hourMs;
  const stream = plantStream(7, fromMs, fromMs + streamMs);
  const moments = killMoments(stream, kills);
  const killed = await killRun(way, stream, moments);
  const calm = await killRun(way, stream, []);
  const complaints: string[] = [];
  const hold = (holds: boolean, what: string): void => {
    if (!holds) complaints.push(what);
  };

  for (const [i, { acknowledged, missing }] of killed.kills.entries()) {
    hold(acknowledged >= moments[i]!, `kill ${i + 1} came before message ${moments[i]}`);
    hold(
      missing.length === 0,
      `kill ${i + 1}: ${missing.length} acknowledged readings lost: ${JSON.stringify(missing[0])}`,
    );
  }
  hold(killed.missing.length === 0, `at the end ${killed.missing.length} readings are lost`);
  const expected = samplesOf(stream);
  hold(killed.stored === expected, `killed: ${killed.stored} samples stored, ${expected} expected`);
  hold(calm.stored === expected, `not killed: ${calm.stored} samples stored, ${expected} expected`);
  for (const part of ["runs", "points", "signals"] as const) {
    const difference = firstDifference(killed.found, calm.found, part);
    hold(difference === null, `${part} differ from those of a run that was not killed: ${difference}`);
  }
  // The comparison would hold nothing if nothing had been found.
  const { runs, points, signals } = calm.found;
  hold(runs.length > 20 && points.length > 20 && signals.length > 5, "too little was found to compare");
  const said =
    `${way}: killed after ${moments.join(", ")} of ${stream.length} messages; ` +
    `${expected} samples, ${runs.length} runs, ${points.length} points, ${signals.length} signals`;
  return { said, complaints };
}

/** One random moment in each of `count` equal parts of the stream, as messages acknowledged. */
function killMoments(stream: readonly StreamMessage[], count: number): readonly number[] {
  const part = (0.9 * stream.length) / count;
  return Array.from({ length: count }, (_, i) => Math.max(1, Math.floor(part * (i + Math.random()))));
}

function firstDifference(killed: Found, calm: Found, part: keyof Found): string | null {
  const [ours, theirs] = [killed[part], calm[part]];
  const at = Array.from({ length: Math.max(ours.length, theirs.length) }, (_, i) => i).find(
    (i) => !isDeepStrictEqual(ours[i], theirs[i]),
  );
  if (at === undefined) return null;
  return `${ours.length} and ${theirs.length}; number ${at}: ${JSON.stringify(ours[at])} and ${JSON.stringify(theirs[at])}`;
}
