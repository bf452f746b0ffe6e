import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { WireBench } from "../../../api/contract/bench-wire.ts";
import type { WireCharacteristic } from "../../../api/contract/wire.ts";
import { charted, pourAt, writePast } from "../../e2e/bench-plant.ts";
import { openGateway } from "../../e2e/gateway.ts";
import { type RunningSite, startSite } from "../../e2e/running-site.ts";
import { eventually } from "../../eventually.ts";
import { partOfDemo } from "../../part-of-demo.ts";
import { temporaryFolder } from "../../temporary-folder.ts";

// The real product is killed without warning while a subgroup is half full, or in the middle of a weighted mean, and
// must come to the same points and signals as one that ran through.
const folder = temporaryFolder();
const csv = join(folder.path, "past.csv");
const everyMs = 45_000;
/** As usual, then too warm: both kinds of chart signal. */
const poured = [750, 752, 749, 751, 756, 760, 757, 759, 758, 760];
let began = 0;
let span: readonly string[] = [];

const charts = {
  "averages with s, with two of four runs in": ["chart: averages-with-s\n        subgroup: { runs: 4 }", 6],
  "a weighted mean": ["chart: ewma\n        ewma: { lambda: 0.2, width: 2.86 }\n        rules: [beyond-limit]", 5],
} as const;

beforeAll(() => {
  const past = writePast(csv, Date.now());
  span = [past.fromMs, past.toMs].map((ms) => new Date(ms).toISOString());
  began = Date.now() - poured.length * everyMs;
});

afterAll(() => folder.remove());

async function siteWith(chart: string): Promise<RunningSite> {
  const config = join(folder.path, "site.yaml");
  const demo = partOfDemo("PO-A");
  const changed = demo.replace("        name: first metal\n", `        name: first metal\n        ${chart}\n`);
  expect(changed).not.toBe(demo);
  writeFileSync(config, changed);
  const site = await startSite(config);
  await site.command("import-runs", csv);
  await site.command(
    ...["freeze-limits", "--characteristic", charted, "--from", span[0]!, "--to", span[1]!, "--reason", "a known past"],
    ...["--proposed-by", "process engineer", "--agreed-by", "works manager"],
  );
  return site;
}

/** All pours, with a kill after so many, and what came of them. */
async function run(chart: string, killAfter: number | null) {
  const site = await siteWith(chart);
  const gateway = openGateway(site.mqttUrl, "GW-PO");
  const path = `/api/characteristics/${encodeURIComponent(charted)}`;
  const done = async (): Promise<number> => {
    const { points, waiting } = await site.ask<WireCharacteristic>(path);
    const size = chart.includes("subgroup") ? 4 : 1;
    return points.streamed * size + waiting.length;
  };
  try {
    for (const [place, celsius] of poured.entries()) {
      await pourAt(gateway, began + place * everyMs, celsius);
      if (place + 1 !== killAfter) continue;
      await eventually("the runs so far are in", async () => (await done()) === killAfter);
      await site.kill();
      await site.restart();
      expect(await done()).toBe(killAfter);
    }
    await eventually("all runs are in", async () => (await done()) === poured.length);
    const { points, signals } = await site.ask<WireBench>(`${path}/bench`);
    return { points: points.filter(({ imported }) => !imported), signals };
  } finally {
    await gateway.close();
    await site.stop();
  }
}

test.each(Object.entries(charts))(
  "killed in the middle of %s, all is the same as in one go",
  async (_, [chart, place]) => {
    const [whole, killed] = [await run(chart, null), await run(chart, place)];
    expect(whole.points.length).toBe(chart.includes("subgroup") ? 2 : poured.length);
    expect(whole.signals.length).toBeGreaterThan(0);
    expect(killed).toEqual(whole);
  },
  600_000,
);
