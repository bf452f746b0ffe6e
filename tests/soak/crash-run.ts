import { parseArgs } from "node:util";
import { crashMatrix } from "./crash.ts";

/** `npm run -s soak -- crash --kills N [--seed S] [--influx] [--apart] [--json]`: exit code 1 when anything acknowledged did not hold. */
export async function crashRun(words: readonly string[]): Promise<number> {
  const { values } = parseArgs({
    args: [...words],
    options: {
      kills: { type: "string" },
      seed: { type: "string" },
      influx: { type: "boolean" },
      apart: { type: "boolean" },
      json: { type: "boolean" },
    },
  });
  const [kills, seed] = [Number(values.kills ?? 20), Number(values.seed ?? 1)];
  if (!Number.isSafeInteger(kills) || kills < 2 || !Number.isSafeInteger(seed)) {
    console.error("crash: expected whole numbers after --kills (2 or more) and --seed");
    return 2;
  }
  const { result, complaints } = await crashMatrix(kills, seed, (line) => console.error(line), {
    influx: values.influx === true,
    apart: values.apart === true ? ["embedded", "mosquitto"] : [],
  });
  for (const line of complaints) console.error(`  did not hold: ${line}`);
  if (values.json === true) console.log(JSON.stringify(result));
  else {
    for (const [name, figure] of Object.entries(result)) console.log(`${name}: ${figure}`);
    console.log(complaints.length === 0 ? "Held." : "Did not hold. What differs stands above.");
  }
  return complaints.length === 0 ? 0 : 1;
}
