import { batch100, batch100Sealed } from "./batch100-sealed.ts";
import type { Bench, BenchResult } from "./bench.ts";
import { diskHumidity, diskOven, diskSteam } from "./disk-bytes.ts";
import { embeddedSingle } from "./embedded-single.ts";
import { growth } from "./growth.ts";
import { hundredLines } from "./hundred-lines.ts";
import { influxForward } from "./influx-forward.ts";
import { pipelineDay } from "./pipeline-day.ts";
import { plantDay } from "./plant-day.ts";
import { priceSlider } from "./price-slider.ts";
import { publishToFrame } from "./publish-to-frame.ts";
import { qos1Single } from "./qos1-single.ts";
import { readFar } from "./read-far.ts";
import { studyCsv } from "./study-csv.ts";
import { trendYearDuckdb, trendYearHeads, trendYearRollup } from "./trend-year.ts";
import { xbarSRules } from "./xbar-s-rules.ts";
import { xbarSVersusR } from "./xbar-s-vs-r.ts";

/** `npm run bench`, with `--json` for one array on standard output and `--only NAME` for one of them. */
const benches: readonly Bench[] = [
  ...[
    qos1Single,
    embeddedSingle,
    publishToFrame,
    batch100,
    batch100Sealed,
    trendYearRollup,
    trendYearHeads,
    trendYearDuckdb,
    diskSteam,
    diskOven,
    diskHumidity,
    growth,
  ],
  ...[influxForward, readFar, hundredLines],
  ...[xbarSRules, xbarSVersusR, priceSlider, studyCsv, plantDay, pipelineDay],
];

process.exitCode = await main(process.argv.slice(2));

async function main(words: readonly string[]): Promise<number> {
  const json = words.includes("--json");
  const at = words.indexOf("--only");
  const only = at < 0 ? undefined : words[at + 1];
  const chosen = benches.filter((bench) => at < 0 || bench.name === only);
  if (chosen.length === 0) {
    console.error(
      `no such bench: ${only ?? "(none named)"}; there are ${benches.map((bench) => bench.name).join(", ")}`,
    );
    return 2;
  }
  const results: BenchResult[] = [];
  for (const bench of chosen) {
    const result = await bench.run((line) => console.error(`${bench.name}: ${line}`));
    if (result === null) continue;
    results.push(result);
    if (!json) console.log(inWords(result));
  }
  if (json) console.log(JSON.stringify(results));
  return 0;
}

function inWords({ name, ours, baseline, unit, ratio, better, ask }: BenchResult): string {
  const asked = ask === null ? "no ratio asked" : `asked ${ask}`;
  return `${name}: ours ${Math.round(ours)} ${unit}, baseline ${Math.round(baseline)} ${unit}, ratio ${ratio.toFixed(2)} (${better} is better, ${asked})`;
}
