import { plant } from "../../simulator/plant.ts";
import { type Source, sources } from "../../simulator/plant-layout.ts";
import { moments } from "../../spc/stats/moments.ts";
import { type Beside, besideTruth } from "../contract/simulator/against-truth.ts";
import { statedError } from "../contract/simulator/stated-errors.ts";
import { demoSite } from "../demo-site.ts";

const key = { seed: 31, firstMs: Date.UTC(2026, 10, 24, 5) };
/** Hours of readings that fit into memory at once; a lot of bead lasts for days. */
const hoursOf: Readonly<Record<Source, number>> = {
  ...{ "GW-PR": 3, "GW-CT": 3, "GW-GL": 6, "GW-PO": 24, "GW-FU": 24, "GW-SL": 24, "GW-SK": 24, "GW-ST": 24 },
  ...{ "GW-AO": 40, "GW-DR": 40, "GW-PX": 300 },
};

/**
 * Every station of the demo's plant, from its payloads through decoder, segmenters and features, beside what truly was;
 * `share` of the hours above. Prints borders and each feature's bias, spread and stated error; gives what did not hold.
 */
export function plantWrong(share: number): readonly string[] {
  const works = plant(key, []);
  return sources.flatMap((source) => {
    const kinds = demoSite()
      .stations.filter((station) => station.source === source)
      .flatMap(({ id, moreRuns }) => [id, ...moreRuns.map((more) => `${id}.${more.id}`)]);
    return besideTruth(works, source, kinds, share * hoursOf[source]).flatMap(wrongOf);
  });
}

function wrongOf({ station, trueRuns, missed, invented, startOffMs, endOffMs, errors }: Beside): readonly string[] {
  console.log(
    `${station}: ${trueRuns} runs, ${missed.length} missed, ${invented.length} invented, borders off by ${startOffMs} and ${endOffMs} ms`,
  );
  const wrong: string[] = [];
  if (missed.length + invented.length > 0)
    wrong.push(`${station} misses ${missed.join()} and invents ${invented.join()}`);
  // Events tell every border of the demo's plant.
  if (startOffMs + endOffMs > 0) wrong.push(`${station} is off by ${startOffMs} and ${endOffMs} ms at a border`);
  for (const [feature, { off, refused }] of errors) {
    const stated = statedError(feature);
    const most = Math.max(0, ...off.map(Math.abs));
    const { mean, sd } = off.length > 1 ? moments(off) : { mean: off[0] ?? 0, sd: 0 };
    const [bias, spread, furthest] = [mean, sd, most].map((one) => String(Number(one.toPrecision(2))));
    console.log(
      `  ${feature}: bias ${bias}, sd ${spread}, most ${furthest} of ${Number(stated.toPrecision(4))} (${off.length} runs, ${refused} refused)`,
    );
    if (!(most <= stated)) wrong.push(`${station} ${feature} is off by ${most}, stated ${stated}`);
  }
  return wrong;
}
