import { expect, test } from "vitest";
import { floorPlan, freshWord } from "../../../../dashboard/model/floor-plan.ts";
import { mergePoints } from "../../../../dashboard/model/merge-points.ts";
import { charted, pictureOf, withFlag, withFrame } from "../../../../dashboard/model/picture.ts";
import { characteristic, flag, floor, iso, noonMs, point, runAt } from "../wire-samples.ts";

const changes = { type: "changes" as const, now: iso(noonMs + 1_000), limits: [] };

test("points sent again after a gap are drawn once, in the order of their places", () => {
  const merged = mergePoints([point(0, 0.9), point(2, 0.9)], [point(2, 0.91), point(1, 0.9)], 10);
  expect(merged.map((one) => [one.run, one.location.value])).toEqual([
    [runAt(0), 0.9],
    [runAt(1), 0.9],
    [runAt(2), 0.91],
  ]);
  expect(mergePoints(merged, [point(3, 0.9)], 2).map((one) => one.run)).toEqual([runAt(2), runAt(3)]);
});

test("a frame of changes brings new points, flags and the journal's place", () => {
  const before = pictureOf(floor(), null);
  const after = withFrame(before, { ...changes, seq: 12, points: [point(2, 0.85)], flags: [flag()] });
  expect(after.seq).toBe(12);
  expect(after.floor.characteristics[0]?.points.at(-1)?.run).toBe(runAt(2));
  expect(charted(after, "PR-01:mold.plateau")?.latest?.location.value).toBe(0.85);
  expect(after.floor.flags.map((one) => one.id)).toEqual([flag().id]);
  expect(after.floor.sinceShift.flags).toBe(1);
  expect(before.floor.flags).toEqual([]);
});

test("a done flag leaves the list, is counted, and the band knows since when nothing waits", () => {
  const open = withFlag(pictureOf(floor(), null), flag());
  const done = flag({ state: "done", done: { by: "A", at: iso(noonMs + 5_000), cause: "valve", note: "" } });
  const after = withFlag(open, done);
  expect(after.floor.flags).toEqual([]);
  expect(after.floor.sinceShift).toEqual({ flags: 1, done: 1, chance: 1.4, untold: 0 });
  expect(after.floor.lastWaitingEnded).toBe(iso(noonMs + 5_000));
  expect(after.flags.get(flag().id)?.state).toBe("done");
});

test("an older report of a flag never undoes a newer one", () => {
  const taken = flag({ state: "taken", taken: { by: "A", at: iso(noonMs) } });
  const after = withFlag(withFlag(pictureOf(floor(), null), taken), flag());
  expect(after.floor.flags[0]?.state).toBe("taken");
  const more = withFlag(after, { ...taken, signals: 3 });
  expect(withFlag(more, taken).floor.flags[0]?.signals).toBe(3);
});

test("an answer that frames have overtaken keeps what they brought", () => {
  const before = withFrame(pictureOf(floor(), null), {
    ...changes,
    seq: 12,
    points: [point(2, 0.92)],
    flags: [flag()],
  });
  const after = pictureOf(floor({ journalSeq: 11 }), before);
  expect(after.seq).toBe(12);
  expect(after.floor.characteristics[0]?.points).toHaveLength(3);
  expect(after.floor.flags).toHaveLength(1);
  expect(pictureOf(floor({ journalSeq: 13 }), before).floor.flags).toEqual([]);
});

test("values change freshness, what is wrong at the door, and the clock, nothing else", () => {
  const before = pictureOf(floor(), null);
  const fresh = { ...floor().freshness[0]!, state: "silent" as const };
  const door = [{ code: "broker-away" as const, at: null, messages: null }];
  const after = withFrame(before, { type: "values", now: iso(noonMs + 1_000), seq: 99, freshness: [fresh], door });
  expect(after.floor.freshness[0]?.state).toBe("silent");
  expect(after.floor.door).toEqual(door);
  expect(after.seq).toBe(10);
  expect(freshWord(after.floor.freshness[0] ?? null)).toBe("stale");
  expect(freshWord(null)).toBe("never");
});

test("stations keep their place: column by stage, row by order within it", () => {
  const station = { line: "white", source: "GW", runWord: "run", characteristics: [] };
  const plan = floorPlan(
    floor({
      stations: [
        { id: "PO-A", stage: "Pour", ...station },
        { id: "PR-01", stage: "Moulding", ...station },
        { id: "PR-02", stage: "Moulding", ...station },
      ],
    }),
  );
  expect(plan.cells.map(({ station: { id }, column, row }) => [id, column, row])).toEqual([
    ["PO-A", 1, 0],
    ["PR-01", 0, 0],
    ["PR-02", 0, 1],
  ]);
  expect(plan.rows).toBe(2);
});

test("where charts are by part, the strip shows the part that ran last", () => {
  const part = (name: string, at: number, main = true) => ({
    characteristic: characteristic({
      id: `PO-A:pour.T1:${name}`,
      station: "PO-A",
      part: name,
      main,
      latest: point(at, 750),
    }),
    points: [point(at, 750)],
  });
  const all = [part("OFW-2107", 1), part("OFW-2115", 9), part("OFW-2130", 4), part("OFW-2107-time", 20, false)];
  const station = { id: "PO-A", stage: "Pour", line: "black", source: "GW-PO", runWord: "pour" };
  const { cells } = floorPlan(
    floor({
      stations: [{ ...station, characteristics: all.map((one) => one.characteristic.id) }],
      characteristics: all,
    }),
  );
  expect(cells[0]?.main?.characteristic.part).toBe("OFW-2115");
  expect(cells[0]?.others).toHaveLength(3);
});
