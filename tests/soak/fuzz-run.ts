import { parseArgs } from "node:util";
import { fuzz, fuzzHeld } from "./fuzz.ts";

/** `npm run -s soak -- fuzz --messages N [--seed S] [--json]`: exit code 1 when anything was lost, made up or broken. */
export async function fuzzRun(words: readonly string[]): Promise<number> {
  const { values } = parseArgs({
    args: [...words],
    options: { messages: { type: "string" }, seed: { type: "string" }, json: { type: "boolean" } },
  });
  const [messages, seed] = [Number(values.messages ?? 100_000), Number(values.seed ?? 1)];
  if (!Number.isSafeInteger(messages) || messages < 1 || !Number.isSafeInteger(seed)) {
    console.error("fuzz: expected whole numbers after --messages and --seed");
    return 2;
  }
  const result = await fuzz(messages, seed);
  const held = fuzzHeld(result);
  if (values.json === true) console.log(JSON.stringify(result));
  else {
    const { received, stored, duplicate, quarantined, seconds, peakMiB } = result;
    console.log(
      `fuzz: ${messages} messages in ${seconds.toFixed(0)} s, ${received} readings: ${stored} stored, ` +
        `${duplicate} there already, ${quarantined} refused; peak memory ${peakMiB} MiB`,
    );
    console.log(held ? "Held." : `Did not hold: ${JSON.stringify(result)}`);
  }
  return held ? 0 : 1;
}
