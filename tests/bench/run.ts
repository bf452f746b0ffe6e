import { parseArgs } from "node:util";
import type { Bench, BenchResult } from "./bench.ts";
import { qos1Single } from "./qos1-single.ts";

/** `npm run bench -- [--only NAME] [--json]`: with --json one array on stdout and nothing else. */
const benches: readonly Bench[] = [qos1Single];

const { values } = parseArgs({ options: { json: { type: "boolean" }, only: { type: "string" } } });
const wanted = benches.filter(({ name }) => values.only === undefined || name === values.only);
if (wanted.length === 0) {
  process.stderr.write(`--only: found ${values.only}, expected one of ${benches.map(({ name }) => name).join(", ")}\n`);
  process.exit(2);
}

const results: BenchResult[] = [];
for (const bench of wanted) {
  process.stderr.write(`${bench.name}\n`);
  results.push(await bench.run((line) => process.stderr.write(`${line}\n`)));
}
if (values.json === true) process.stdout.write(`${JSON.stringify(results)}\n`);
else for (const result of results) process.stdout.write(`${words(result)}\n`);

function words({ name, ours, baseline, unit, ratio, better, ask }: BenchResult): string {
  const asked = ask === undefined ? "" : `, asked ${ask}`;
  return `${name}: ${ours.toPrecision(4)} against ${baseline.toPrecision(4)} ${unit}, ratio ${ratio.toFixed(3)} (${better} is better${asked})`;
}
