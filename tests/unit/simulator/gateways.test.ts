import { expect, test } from "vitest";
import { plant } from "../../../simulator/plant.ts";
import { runBooks } from "../../../simulator/runs/true-runs.ts";
import { startedBy, startOf } from "../../../simulator/schedule.ts";
import { demoSite } from "../../demo-site.ts";

test("each gateway of the demo has two instruments that always speak, or says how long it is quiet at most", () => {
  const { sources, stations } = demoSite();
  const mute = sources.filter(({ id, quietAtMost }) => {
    const always = stations
      .filter(({ source }) => source === id)
      .flatMap(({ series }) => Object.values(series).filter(({ everyMs }) => everyMs !== null));
    return quietAtMost === undefined && always.length < 2;
  });
  expect(mute.map(({ id }) => id)).toEqual([]);
});

/** As the product counts: so many intervals without a reading, and a minute at least. */
const [missedIntervals, leastMs] = [10, 60_000];

test("no instrument of a healthy run is missed before it speaks, nor between two readings", () => {
  const firstMs = Date.UTC(2026, 10, 24, 5);
  const [fromMs, toMs] = [firstMs + 2 * 3_600_000, firstMs + 5 * 3_600_000];
  const works = plant({ seed: 3, firstMs }, []);
  const books = runBooks(works.model);
  const heard = new Map<string, number[]>();
  // Presses and tables send all the time that they run; their streams would take most of the time here.
  const listened = ["GW-PX", "GW-GL", "GW-SL", "GW-FU", "GW-PO", "GW-SK"] as const;
  for (const source of listened) {
    for (const { body } of works.messages(source, fromMs, toMs)) {
      const { readings = [] } = body as { readings?: { series: string; t: number; everyMs?: number; values?: [] }[] };
      for (const { series, t, everyMs = 0, values = [0] } of readings) {
        const times = heard.get(series) ?? [];
        heard.set(series, times);
        for (let i = 0; i < values.length; i += 1) times.push(t + i * everyMs);
      }
    }
  }
  const missed = new Set<string>();
  let looked = 0;
  for (const { id, series, segmenter } of demoSite().stations.filter(({ source }) =>
    listened.some((one) => one === source),
  )) {
    if (segmenter.by !== "marker" && segmenter.by !== "state-signal") continue;
    const { schedule, of } = books.get(id) ?? { schedule: null, of: () => [] };
    if (schedule === null) continue;
    // A ladle is a second kind of run: silence goes by the first.
    const own = (number: number) => of(number).filter((run) => !run.id.includes(".ladle"));
    const numbers = Array.from({ length: 200 }, (_, i) => startedBy(schedule, fromMs) + i).filter(
      (number) => startOf(schedule, number) >= fromMs && startOf(schedule, number + 1) < toMs,
    );
    for (const one of Object.values(series).filter(
      ({ everyMs, everyInRunMs }) => everyMs === null && everyInRunMs !== null,
    )) {
      const mostMs = Math.max(missedIntervals * one.everyInRunMs!, leastMs);
      for (const { startMs, endMs } of numbers.flatMap(own)) {
        const inside = (heard.get(one.id) ?? []).filter((t) => t >= startMs && t < endMs);
        const marks = [startMs, ...inside, endMs];
        looked += 1;
        if (marks.some((t, i) => i > 0 && t - marks[i - 1]! > mostMs)) missed.add(one.id);
      }
    }
  }
  expect(looked).toBeGreaterThan(500);
  expect([...missed]).toEqual([]);
});
