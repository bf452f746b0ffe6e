import { parseArgs } from "node:util";
import { healthyErrors, spoilCheck } from "../property/spc/features/spoil-check.ts";
import { plantWrong } from "./truth-plant.ts";

/** Most spoiled runs of at least five thousand that may give a number off by more than its stated error. */
const mostLies = 5;
const leastRuns = 5_000;

/**
 * `npm run -s soak -- truth [--shares N]`: healthy and spoiled runs with known truth, fed straight to the extractors, N
 * times what the suite's test takes of each kind; then N tenths of some days of every station of the demo's plant, from its
 * payloads. Exit code 1 when a healthy run or a border is off by more than is stated, or too many of the spoiled ones.
 */
export async function truthRun(words: readonly string[]): Promise<number> {
  const { values } = parseArgs({ args: [...words], options: { shares: { type: "string" } } });
  const shares = Number(values.shares ?? 10);
  if (!Number.isSafeInteger(shares) || shares < 1) {
    console.error("truth: expected a whole number after --shares");
    return 2;
  }
  const wrong = [...healthyWrong(shares), ...spoiledWrong(shares), ...plantWrong(shares / 10)];
  for (const one of wrong) console.error(`  did not hold: ${one}`);
  return wrong.length === 0 ? 0 : 1;
}

function healthyWrong(shares: number): readonly string[] {
  const { byFeature, refused } = healthyErrors(shares);
  const wrong: string[] = [];
  for (const [id, { off, stated = 0 }] of byFeature) {
    const bias = off.reduce((sum, one) => sum + one / off.length, 0);
    const sd = Math.sqrt(off.reduce((sum, one) => sum + (one - bias) ** 2 / off.length, 0));
    const most = Math.max(...off.map(Math.abs));
    const figures = [bias, sd, most, stated].map((one) => one.toPrecision(2));
    console.log(
      `${id}: bias ${figures[0]}, sd ${figures[1]}, most ${figures[2]} of ${figures[3]} (${off.length} runs)`,
    );
    if (!(most <= stated)) wrong.push(`${id} of a healthy run is off by ${most}, stated ${stated}`);
  }
  console.log(`${refused.length} features of healthy runs refused`);
  return [...wrong, ...refused.filter((one) => !one.startsWith("dry.t_end "))];
}

function spoiledWrong(shares: number): readonly string[] {
  const { runs, numbers, refusals, lies } = spoilCheck(shares);
  console.log(`${runs} spoiled runs: ${numbers} numbers, ${refusals} refusals; off in ${lies.length}`);
  for (const lie of lies) console.log(`  ${lie}`);
  const most = Math.floor((mostLies * Math.max(runs, leastRuns)) / leastRuns);
  return lies.length > most ? [`${lies.length} of ${runs} spoiled runs give a wrong number, at most ${most} may`] : [];
}
