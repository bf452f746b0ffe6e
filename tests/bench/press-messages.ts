import { runId } from "../../spc/model/run.ts";

/** Shots of one press, one reading or event a message, as a gateway without batching would send them. */
export interface PressMessages {
  readonly topicOf: (index: number) => string;
  readonly payloads: readonly string[];
  /** The run that is cut last: with it all stages have seen everything. */
  readonly lastRun: string;
}

const station = "PR-01";
const shotMs = 80_000;
const sampleMs = 50;
/** Seconds each step lasts, from the fill on: the invented plant's cycle. */
const steps = [12, 2, 4, 4, 7, 4, 22, 18, 6];
const level = [0, 0.12, 0.35, 0.45, 0.9, 0.1, 0, -0.6, 0];

export function pressMessages(shots: number, startMs: number): PressMessages {
  const payloads: string[] = [];
  const topics: string[] = [];
  let seq = 0;
  const push = (kind: "readings" | "event", body: object): void => {
    seq += 1;
    payloads.push(JSON.stringify({ v: 1, kind, source: "GW-PR", seq, ...body }));
    topics.push(`ostrimvale/GW-PR/${kind}`);
  };
  const event = (t: number, value: number): void => push("event", { series: `${station}/step`, t, value });
  const reading = (t: number, value: number): void =>
    push("readings", { readings: [{ series: `${station}/pressure`, t, value, unit: "bar" }] });

  for (let shot = 0; shot < shots; shot += 1) {
    let t = startMs + shot * shotMs;
    for (const [index, seconds] of steps.entries()) {
      event(t, index + 1);
      const until = t + seconds * 1000;
      // A ripple that never repeats exactly, so that no reading counts as stuck.
      for (; t < until; t += sampleMs) reading(t, level[index]! + 0.004 * Math.sin(t / 130 + shot));
    }
    event(t, 0);
  }
  // News beyond the lateness window completes the last shot.
  const endMs = startMs + shots * shotMs;
  for (let t = endMs; t < endMs + 60_000; t += 1000) reading(t, 0.001 * Math.sin(t));
  return { payloads, topicOf: (index) => topics[index]!, lastRun: runId(station, startMs + (shots - 1) * shotMs) };
}
