import { type Source, sources } from "../../simulator/plant-layout.ts";
import { compareDepths } from "../contract/simulator/agreement.ts";

const hourMs = 3_600_000;
/** Two days at a time would not fit into memory where a gateway sends much: so many hours at a time. */
const atOnce: Partial<Readonly<Record<Source, number>>> = { "GW-PR": 8, "GW-CT": 16, "GW-SL": 24 };

/** Two days of the plant at both depths: pipeline and run model, feature by feature. `soak depths [--hours N] [--seed N]` */
export async function depthsRun(words: readonly string[]): Promise<number> {
  const number = (name: string, otherwise: number): number => {
    const at = words.indexOf(name);
    return at < 0 ? otherwise : Number(words[at + 1]);
  };
  const [hours, seed] = [number("--hours", 48), number("--seed", 1)];
  const firstMs = Date.UTC(2026, 10, 24, 5, 0, 0);
  let wrongs = 0;
  console.log(
    "feature, of station: runs; mean and sd of pipeline less truth, stated in brackets; spread of the feature",
  );
  for (const source of sources) {
    const step = atOnce[source] ?? hours;
    for (let from = 0; from < hours; from += step) {
      const [fromMs, toMs] = [firstMs + from * hourMs, firstMs + Math.min(hours, from + step) * hourMs];
      const { runs, unknown, agreements } = compareDepths({ seed, firstMs }, source, fromMs, toMs);
      console.log(`${source}, hours ${from} to ${Math.min(hours, from + step)}: ${runs} runs`);
      for (const one of unknown) console.error(`  not in the run model: ${one}`);
      wrongs += unknown.length;
      for (const { feature, n, bias, sd, spread, wrong } of agreements) {
        const digits = (value: number): string => String(Number(value.toPrecision(3)));
        const found = `${digits(bias[1])} (${bias[0]}), ${digits(sd[1])} (${sd[0]}); ${digits(spread)}`;
        console.log(`  ${feature}: ${n}; ${found}`);
        for (const words of wrong) console.error(`  ${feature} does not agree: ${words}`);
        wrongs += wrong.length;
      }
    }
  }
  console.log(wrongs === 0 ? "both depths agree" : `${wrongs} disagreements`);
  return wrongs === 0 ? 0 : 1;
}
