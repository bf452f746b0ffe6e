import { afterEach, expect, test } from "vitest";
import { runEntry } from "../../../collector/store/entries.ts";
import { readFault } from "../../../simulator/fault-words.ts";
import { plant } from "../../../simulator/plant.ts";
import type { Source } from "../../../simulator/plant-layout.ts";
import { recordedRuns } from "../../../simulator/recorded-runs.ts";
import { runBooks } from "../../../simulator/runs/true-runs.ts";
import type { RunRecord } from "../../../spc/model/journal-entry.ts";
import type { Signal } from "../../../spc/model/signal.ts";
import { type PlayedPlant, payloadsOf, playedPlant } from "../../played-plant.ts";
import { statedError } from "../simulator/stated-errors.ts";

// Faults that a foundry fears, from the payloads of the simulated plant through decoder, store, segmenters, features,
// charts and rules, under limits of what the station wrote down in the weeks before.

const key = { seed: 7, firstMs: Date.UTC(2026, 10, 24, 5) };
const hourMs = 3_600_000;

interface Scene {
  readonly signals: readonly Signal[];
  readonly runs: readonly RunRecord[];
  /** Value of a feature in each run that gave one, in time order. */
  values(feature: string): readonly { readonly atMs: number; readonly value: number }[];
}

let played: PlayedPlant | null = null;
afterEach(() => {
  played?.close();
  played = null;
});

async function scene(
  source: Source,
  station: string,
  hours: number,
  {
    faults = [],
    pastDays = 14,
    told,
  }: {
    readonly faults?: readonly string[];
    readonly pastDays?: number;
    /** What the plant's senders would say instead. */
    readonly told?: (payload: string) => string;
  } = {},
): Promise<Scene> {
  const works = plant(
    key,
    faults.map((words) => {
      const read = readFault(words, key.firstMs);
      if (!read.ok) throw new Error(read.mistake);
      return read.fault;
    }),
  );
  played = playedPlant(key.firstMs);
  const { data, clock, line } = played;
  writeDown(played, station, pastDays);
  played.putLimits([station]);
  const payloads = payloadsOf(works, [source], 20_000);
  for (let tMs = key.firstMs; tMs < key.firstMs + hours * hourMs; tMs += 20 * 60_000) {
    const sent = payloads(tMs, tMs + 20 * 60_000);
    await played.takeIn(
      told === undefined ? sent : sent.map((raw) => ({ ...raw, payload: Buffer.from(told(raw.payload.toString())) })),
    );
    clock.advance(20 * 60_000);
    await line.drain();
  }
  await played.finish();
  const { journal } = data;
  const entries = journal.read({ kinds: ["run", "signal"], station, orderBy: "time" });
  const runs = entries.flatMap((one) => (one.kind === "run" && !one.body.imported ? [one.body] : []));
  return {
    signals: entries.flatMap((one) => (one.kind === "signal" ? [one.body.signal] : [])),
    runs,
    values: (feature) =>
      runs.flatMap(({ run, features }) => {
        const value = features.find((one) => one.feature === feature)?.value ?? null;
        return value === null ? [] : [{ atMs: run.endMs, value }];
      }),
  };
}

/** The station's own past, as it would have been imported. */
function writeDown({ data }: PlayedPlant, station: string, days: number): void {
  const past = recordedRuns(key, station, key.firstMs - days * 24 * hourMs, key.firstMs);
  data.journal.append(
    past.map(({ id, startMs, endMs, part, features }) => {
      const run = {
        id,
        station,
        startMs,
        endMs,
        closedBy: "imported",
        segments: [],
        context: contextOf(part),
      } as const;
      return runEntry({ run, imported: true, features: features.map((one) => ({ ...one, version: 0 })) });
    }),
  );
}

function contextOf(part: string | null): Record<string, string> {
  return part === null ? {} : { part };
}

const featureOf = ({ characteristic }: Signal): string => characteristic.split(":")[1]!;

test("a tap that is 20 K cold is found by the third ladle, and the saw of a ladle's flasks cries no wolf", async () => {
  const healthy = await scene("GW-PO", "PO-F", 13, { pastDays: 30 });
  const flasks = healthy.values("pour.T1").map(({ value }) => value);
  expect(flasks.length).toBeGreaterThan(40);
  // The saw is there: from a ladle's first flask to its last it is 60 K and more.
  expect(Math.max(...flasks) - Math.min(...flasks)).toBeGreaterThan(60);
  expect(healthy.signals.map(featureOf).filter((one) => one === "pour.T1" || one === "ladle.first")).toEqual([]);
  played?.close();

  const cold = await scene("GW-PO", "PO-F", 13, { pastDays: 30, faults: ["cold-tap@PO-F@1h+12h"] });
  const ladles = cold.values("ladle.first");
  const found = cold.signals.filter((one) => featureOf(one) === "ladle.first");
  expect(found.length).toBeGreaterThan(0);
  expect(found[0]!.atMs).toBeLessThanOrEqual(ladles.filter(({ atMs }) => atMs > key.firstMs + hourMs)[2]!.atMs);
});

test("superheat counts from what was analysed of the furnace and the alloy that a ladle held", async () => {
  const works = plant(key, []);
  // From one alloy of aluminium to the next, and from ductile iron to grey.
  const [fromMs, toMs] = [key.firstMs + 2 * hourMs, key.firstMs + 5 * hourMs];
  played = playedPlant(fromMs);
  const payloads = payloadsOf(works, ["GW-FU", "GW-PO"], 20_000);
  for (let tMs = fromMs; tMs < toMs; tMs += 20 * 60_000) {
    await played.takeIn(payloads(tMs, tMs + 20 * 60_000));
    played.clock.advance(20 * 60_000);
    await played.line.drain();
  }
  await played.finish();
  const runs = played.data.journal.read({ kinds: ["run"] }).flatMap((one) => (one.kind === "run" ? [one.body] : []));
  const truth = [...runBooks(works.model)].flatMap(([station, book]) =>
    station.startsWith("PO-") ? Array.from({ length: 60 }, (_, number) => book.of(number)).flat() : [],
  );
  const seen = runs.flatMap(({ run, features }) => {
    const above = features.find(({ feature }) => feature === "pour.superheat");
    const { alloy = "" } = run.context;
    const truly = truth.find(({ id }) => id === run.id)?.features["pour.superheat"]?.value ?? Number.NaN;
    return above === undefined ? [] : [{ alloy, above, off: (above.value ?? Number.NaN) - truly }];
  });
  const of = (alloy: string) => seen.filter((one) => one.alloy === alloy);
  for (const alloy of ["AlSi7Mg0.3", "AlSi6Cu4", "EN-GJL-250"]) {
    const told = of(alloy).filter(({ above }) => above.value !== null);
    expect(told.length, alloy).toBeGreaterThan(2);
    for (const { off } of told) expect(Math.abs(off), alloy).toBeLessThan(statedError("pour.superheat"));
  }
  const codes = (alloy?: string) =>
    new Set(seen.flatMap((one) => (alloy === undefined || one.alloy === alloy ? (one.above.refusal?.code ?? []) : [])));
  expect(codes("EN-GJS-450-10")).toContain("hypereutectic");
  expect(of("EN-GJS-450-10").filter(({ above }) => above.value !== null)).toEqual([]);
  // Until an alloy was first analysed.
  expect(codes()).toEqual(new Set(["no-reading", "hypereutectic"]));
});

test("weak air in the dryer is found although the relative humidity at the end looks right", async () => {
  const healthy = await scene("GW-DR", "DR-2", 8);
  const rhBefore = endHumidity(played!, healthy);
  const drying = ["dry.dw_end", "dry.residual"];
  expect(healthy.signals.map(featureOf).filter((one) => drying.includes(one))).toEqual([]);
  played?.close();
  const weak = await scene("GW-DR", "DR-2", 8, { faults: ["weak-air@DR-2@30min+7h"] });
  // No operator would call it different.
  expect(Math.abs(endHumidity(played!, weak) - rhBefore)).toBeLessThan(2);
  expect(weak.signals.map(featureOf)).toEqual(expect.arrayContaining(drying));
});

test("weak air is not told from good by two probes that each err by 2 %RH: its chart says so, and calls nothing well", async () => {
  const told = (payload: string) => payload.replace('"pair":"matched"', '"pair":"separate"');
  const { signals, runs } = await scene("GW-DR", "DR-2", 8, { faults: ["weak-air@DR-2@30min+7h"], told });
  const load = runs.find(({ run }) => run.kind === undefined)!;
  expect(load.run.context).toMatchObject({ pair: "separate" });
  const end = load.features.find(({ feature }) => feature === "dry.dw_end")!;
  expect(end).toMatchObject({ value: null, refusal: { code: "not-resolvable" } });
  expect(signals.map(featureOf)).not.toContain("dry.dw_end");
  const [point] = played!.data.journal.read({ kinds: ["point"], subject: "DR-2:dry.dw_end", orderBy: "time" });
  expect(point).toMatchObject({ body: { run: load.run.id, location: { value: null, verdict: "not-evaluable" } } });
});

/** Mean relative humidity of the return air over the last half hour of the first load. */
function endHumidity({ data }: PlayedPlant, { runs }: Scene): number {
  const { endMs } = runs.find(({ run }) => run.kind === undefined)!.run;
  const read = data.samples.read({ series: "DR-2/return-rh", fromMs: endMs - 1_800_000, toMs: endMs });
  return read.reduce((sum, { value }) => sum + value! / read.length, 0);
}

test.each([
  ["loose-clamp@CT-A1@10min+2h", "vib.crest", 1],
  // The high band is judged by four flasks together.
  ["bearing@CT-A1@10min+2h*0.5", "vib.hf", 2],
])("%s is named by %s while RMS is still inside its specification", async (fault, feature, hours) => {
  const { signals, values, runs } = await scene("GW-CT", "CT-A1", hours, { faults: [fault] });
  const touched = runs.filter(({ run }) => run.startMs > key.firstMs + 10 * 60_000);
  expect(touched.length).toBeGreaterThan(0);
  for (const { value } of values("vib.rms")) {
    expect(value).toBeGreaterThan(0.85);
    expect(value).toBeLessThan(1.09);
  }
  expect(signals.map(featureOf)).toContain(feature);
  expect(signals.filter((one) => featureOf(one) === "vib.rms" && one.rule === "outside-specification")).toEqual([]);
});
