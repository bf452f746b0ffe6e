import { expect, test } from "vitest";
import { openSampleReader } from "../../../collector/store/embedded/embedded-sample-reader.ts";
import { openSampleStore } from "../../../collector/store/embedded/embedded-sample-store.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { incoming, places, pressure, reading } from "./incoming.ts";

const everything = { series: pressure, fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };
const startMs = 1_764_057_600_000;
const bursts = 12;
const each = 4_000;

test("a reader opened before the writer answers at each moment as the writer does, while rows are sealed and let go", () => {
  const folder = temporaryFolder();
  const reader = openSampleReader(folder.path);
  expect([reader.read(everything), reader.latest(pressure), reader.counts().stored]).toEqual([[], undefined, 0]);
  const store = openSampleStore(folder.path, places);
  const alike = (): void => {
    expect(reader.latest(pressure)).toEqual(store.latest(pressure));
    expect(reader.trend(everything, 50)).toEqual(store.trend(everything, 50));
    expect(reader.counts()).toEqual(store.counts());
    expect(reader.keptFrom(pressure)).toBe(store.keptFrom(pressure));
    expect([...reader.seriesNames()].sort()).toEqual([...store.seriesNames()].sort());
    expect(reader.sequenceGaps()).toEqual(store.sequenceGaps());
    expect(reader.missingStretches()).toEqual(store.missingStretches());
  };
  let sealed = false;
  for (let burst = 0; burst < bursts; burst += 1) {
    const samples = Array.from({ length: each }, (_, i) => {
      const n = burst * each + i;
      return reading(startMs + n * 1_000, 0.9 + (n % 7) / 100);
    });
    // A number passed over now and then.
    store.commit([incoming(samples, { sequence: burst + Math.floor(burst / 4) })]);
    store.settle("PR-01", startMs + (burst + 1) * each * 1_000);
    if (burst % 3 === 2) sealed = store.sealSome() || sealed;
    alike();
  }
  expect(sealed).toBe(true);
  expect(reader.read(everything)).toEqual(store.read(everything));
  expect(reader.read({ ...everything, fromMs: startMs + 1 }, { limit: 10 })).toHaveLength(10);
  while (store.letGo("readings", pressure, startMs + 8 * each * 1_000).more) alike();
  alike();
  expect(reader.read(everything)).toEqual(store.read(everything));
  store.close();
  expect(reader.latest(pressure)?.tMs).toBe(startMs + (bursts * each - 1) * 1_000);
  reader.close();
  folder.remove();
});
