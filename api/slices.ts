import { setImmediate } from "node:timers/promises";

/** What comes meanwhile, readings above all, waits no longer than this and one step. */
const sliceMs = 10;

/** Does long work in slices: between two of them the process takes what has come. */
export async function inSlices<T>(work: Generator<undefined, T>, nowMs = () => performance.now()): Promise<T> {
  let began = nowMs();
  for (;;) {
    const step = work.next();
    if (step.done) return step.value;
    if (nowMs() - began < sliceMs) continue;
    await setImmediate();
    began = nowMs();
  }
}
