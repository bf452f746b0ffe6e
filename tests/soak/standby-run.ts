import { parseArgs } from "node:util";
import { standbyMatrix } from "./standby.ts";

/** `npm run -s soak -- standby --takeovers N [--seed S] [--json]`: exit code 1 when anything did not hold. */
export async function standbyRun(words: readonly string[]): Promise<number> {
  const options = { takeovers: { type: "string" }, seed: { type: "string" }, json: { type: "boolean" } } as const;
  const { values } = parseArgs({ args: [...words], options });
  const [takeovers, seed] = [Number(values.takeovers ?? 12), Number(values.seed ?? 1)];
  if (!Number.isSafeInteger(takeovers) || takeovers < 1 || !Number.isSafeInteger(seed)) {
    console.error("standby: expected whole numbers after --takeovers (1 or more) and --seed");
    return 2;
  }
  const { result, complaints } = await standbyMatrix(takeovers, seed, (line) => console.error(line));
  for (const line of complaints) console.error(`  did not hold: ${line}`);
  if (values.json === true) console.log(JSON.stringify(result));
  else {
    for (const [name, figure] of Object.entries(result)) console.log(`${name}: ${JSON.stringify(figure)}`);
    console.log(complaints.length === 0 ? "Held." : "Did not hold. What differs stands above.");
  }
  return complaints.length === 0 ? 0 : 1;
}
