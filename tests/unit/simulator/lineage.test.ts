import { expect, test } from "vitest";
import {
  cellOfJoint,
  clusterOfDip,
  clusterOfFlask,
  dipOfCluster,
  flaskOfCluster,
  jointOfCell,
  originOfSlice,
  partOfCluster,
  partOfShot,
} from "../../../simulator/lineage.ts";
import { ladleOfFlask } from "../../../simulator/runs/iron-pour.ts";
import { plantModel } from "../../../simulator/runs/model.ts";
import { runBooks } from "../../../simulator/runs/true-runs.ts";
import { startOf } from "../../../simulator/schedule.ts";

const clusters = Array.from({ length: 900 }, (_, i) => i - 450);
const key = { seed: 3, firstMs: Date.UTC(2026, 10, 24) };

test("a cluster is one flask's, and its dips and joints lead back to it", () => {
  for (const cluster of clusters) {
    expect(clusterOfFlask(flaskOfCluster(cluster))).toBe(cluster);
    expect(clusterOfDip(dipOfCluster(cluster, 1))).toEqual({ cluster, coat: 1 });
    expect(clusterOfDip(dipOfCluster(cluster, 2))).toEqual({ cluster, coat: 2 });
    const { castings, slices } = partOfCluster(cluster);
    for (let pattern = 0; pattern < castings; pattern += 1) {
      for (let joint = 0; joint < slices - 1; joint += 1) {
        const { cell, run } = cellOfJoint({ cluster, pattern, joint });
        expect(jointOfCell(cell, run)).toEqual({ cluster, pattern, joint });
      }
    }
  }
});

test("no slice is used twice, and each comes from a shot of its own part", () => {
  const used = new Set<string>();
  for (const cluster of clusters) {
    const { id, castings, slices } = partOfCluster(cluster);
    for (let at = 0; at < castings * slices; at += 1) {
      const { press, shot, cavity } = originOfSlice(cluster, Math.floor(at / slices), at % slices);
      expect(partOfShot(press, shot)).toBe(id);
      const name = `${press}/${shot}/${cavity}`;
      expect(used.has(name), name).toBe(false);
      used.add(name);
    }
  }
});

test("every iron flask is poured once, eight of one part a ladle", () => {
  const { ironPours } = plantModel(key, []);
  for (let ladle = -20; ladle < 20; ladle += 1) {
    const { pours } = ironPours.ladle(ladle);
    expect(new Set(pours.map(({ part }) => part.id)).size).toBe(1);
    for (const { ordinal, position } of pours) expect(ladleOfFlask(ordinal)).toEqual({ ladle, position });
  }
});

test("what a run came out of had begun before it, and all shares of it make one", () => {
  const books = runBooks(plantModel(key, []));
  for (const [station, book] of books) {
    for (const run of book.of(40)) {
      const parents = run.from.map(({ run: id }) => id);
      expect(new Set(parents).size, `${station}: the same run twice`).toBeGreaterThanOrEqual(
        Math.min(1, parents.length),
      );
      for (const id of parents) {
        const [, stamp = ""] = id.split(":");
        const iso = stamp.replace(/^(\d{4})(\d\d)(\d\d)T(\d\d)(\d\d)(\d\d)(\d{3})Z$/, "$1-$2-$3T$4:$5:$6.$7Z");
        // A silo is filled while its run lasts.
        expect(Date.parse(iso), `${station} out of ${id}`).toBeLessThan(
          station < "SI-" || station > "SI-9" ? run.startMs : run.endMs,
        );
      }
    }
  }
  const silo = books.get("SI-02");
  const [fill] = silo?.of(5) ?? [];
  expect(fill?.from.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 12);
});

test("clusters that leave a dryer load are those that it took in, each once", () => {
  const model = plantModel(key, []);
  const books = runBooks(model);
  const dips = new Map<string, number>();
  for (const dryer of ["DR-1", "DR-2", "DR-3"]) {
    for (let load = -4; load < 8; load += 1) {
      for (const { run } of books
        .get(dryer)
        ?.of(load)
        .flatMap(({ from }) => from) ?? []) {
        dips.set(run, (dips.get(run) ?? 0) + 1);
      }
    }
  }
  expect(dips.size).toBeGreaterThan(800);
  expect([...dips.values()].every((times) => times === 1)).toBe(true);
  // A flask is filled after its dryer load has ended.
  for (const cluster of clusters.slice(300, 400)) {
    const { dryer, number } = model.loadOf(cluster);
    const runs = model.dryers.get(dryer)!;
    const { aluminium, ordinal } = flaskOfCluster(cluster);
    const filledMs = key.firstMs + ordinal * (aluminium ? 576_000 : 960_000);
    expect(startOf(runs.schedule, number) + runs.loadLastsMs(number)).toBeLessThan(filledMs);
  }
});
