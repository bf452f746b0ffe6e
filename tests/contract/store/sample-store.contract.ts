import { afterEach, beforeEach, describe, expect, test } from "vitest";
import type { SampleStore } from "../../../collector/store/sample-store.ts";
import type { Sample } from "../../../spc/model/sample.ts";
import { incoming, pressure, reading } from "./incoming.ts";

export interface OpenStore {
  readonly store: SampleStore;
  /** Opens the same data again, as after a stop. */
  reopen(): SampleStore;
  remove(): void;
}

/** What every sample store must do. */
export function sampleStoreContract(name: string, open: () => OpenStore): void {
  describe(`${name} keeps the sample-store contract`, () => {
    let opened: OpenStore;
    let store: SampleStore;
    beforeEach(() => {
      opened = open();
      store = opened.store;
    });
    afterEach(() => opened.remove());
    const all = { series: pressure, fromMs: 0, toMs: 10_000_000 };

    test("gives samples back in time order, however they arrived", () => {
      store.commit([incoming([reading(2000, 0.9)]), incoming([reading(1000, 0.8)])]);
      expect(store.read(all).map((s) => [s.tMs, s.value])).toEqual([
        [1000, 0.8],
        [2000, 0.9],
      ]);
    });

    test("includes the start of a range, leaves out its end and keeps to the limit", () => {
      store.commit([incoming([1000, 2000, 3000].map((t) => reading(t, 1)))]);
      expect(store.read({ series: pressure, fromMs: 1000, toMs: 3000 }).map((s) => s.tMs)).toEqual([1000, 2000]);
      expect(store.read(all, { limit: 1 }).map((s) => s.tMs)).toEqual([1000]);
      expect(store.read({ ...all, series: "PR-02/pressure" })).toEqual([]);
    });

    test("keeps the first of a series and time, within a group and over groups, and counts the others", () => {
      store.commit([incoming([reading(1000, 0.1)]), incoming([reading(1000, 0.2)])]);
      store.commit([incoming([reading(1000, 0.3)])]);
      expect(store.read(all).map((s) => s.value)).toEqual([0.1]);
      expect(store.counts()).toEqual({
        ...{ received: 3, acknowledged: 3, stored: 1, duplicate: 2, quarantined: 0, late: 0 },
      });
    });

    describe("sequence gaps", () => {
      const gaps = () => Object.fromEntries(store.sequenceGaps());
      /** Messages of one counter, one after the other; each is newer than the one before unless told. */
      const send = (...numbers: number[]) =>
        store.commit(numbers.map((sequence) => incoming([reading(1000 + sequence, 1)], { sequence })));
      const wrapping = (stream: string, numbers: readonly number[], anew = false) =>
        store.commit(
          numbers.map((number) => incoming([], { source: "GW-AO", counted: [{ stream, number, wraps: 256, anew }] })),
        );

      test("counts numbers that never came, and takes those that come late out again", () => {
        expect(gaps()).toEqual({});
        send(7, 8, 9);
        expect(gaps()).toEqual({ "GW-PR": 0 });
        send(13, 14);
        expect(gaps()).toEqual({ "GW-PR": 3 });
        send(11, 11);
        expect(gaps()).toEqual({ "GW-PR": 2 });
        send(10, 12, 15);
        expect(gaps()).toEqual({ "GW-PR": 0 });
      });

      test("says between which readings they are missing, and forgets what came late", () => {
        const at = (sequence: number, receivedMs: number) =>
          incoming([reading(1000 + sequence, 1)], { sequence, receivedMs });
        store.commit([at(1, 50_000), at(5, 60_000)]);
        const hole = { source: "GW-PR", messages: 3, foundMs: 60_000, afterMs: 1001, beforeMs: 1005 };
        expect(store.missingStretches()).toEqual([hole]);
        store.commit([at(3, 70_000)]);
        expect(store.missingStretches()).toEqual([
          { ...hole, messages: 1 },
          { ...hole, messages: 1 },
        ]);
        store.commit([at(2, 71_000), at(4, 72_000)]);
        expect(store.missingStretches()).toEqual([]);
      });

      test("a gap is still filled after a restart, and still told of after the counter began anew", () => {
        send(1, 6);
        store.close();
        store = opened.reopen();
        send(3);
        expect(gaps()).toEqual({ "GW-PR": 3 });
        store.commit([incoming([reading(9000, 1)], { sequence: 0 })]);
        expect(store.missingStretches().map(({ messages }) => messages)).toEqual([1, 2]);
        // Of the new counter, 3 is a leap and none of those that the old one passed over.
        store.commit([incoming([reading(9001, 1)], { sequence: 3 })]);
        expect(gaps()).toEqual({ "GW-PR": 5 });
      });

      test("what a part of ours wrote down is there after a restart", () => {
        expect(store.remembered("broker")).toBeUndefined();
        store.remember("broker", { session: "a", times: 1 });
        store.remember("broker", { session: "b", times: 2 });
        store.close();
        store = opened.reopen();
        expect(store.remembered("broker")).toEqual({ session: "b", times: 2 });
      });

      test("a message that comes again is no gap, however far back it begins", () => {
        send(1, 2, 3, 4, 5, 6);
        send(1, 2, 3, 4, 5, 6, 7);
        send(4, 8);
        expect(gaps()).toEqual({ "GW-PR": 0 });
      });

      test("a counter that begins anew with newer readings is no gap, and its own gaps count", () => {
        send(500, 501);
        const later = (sequence: number) => incoming([reading(9000 + sequence, 1)], { sequence });
        store.commit([later(0), later(1), later(3)]);
        expect(gaps()).toEqual({ "GW-PR": 1 });
        store.commit([later(5_000_000), later(5_000_001)]);
        expect(gaps()).toEqual({ "GW-PR": 1 });
      });

      test("a counter that wraps goes on over its end, and takes a little back for late", () => {
        wrapping("E-1", [254, 255, 0, 1]);
        expect(gaps()).toEqual({ "GW-AO": 0 });
        wrapping("E-1", [4]);
        expect(gaps()).toEqual({ "GW-AO": 2 });
        wrapping("E-1", [2, 5, 251]);
        expect(gaps()).toEqual({ "GW-AO": 1 });
        wrapping("E-1", [200]);
        expect(gaps()).toEqual({ "GW-AO": 1 + 194 });
      });

      test("counters of one source stand each for itself, and a birth begins one anew", () => {
        wrapping("E-1", [3, 4]);
        wrapping("E-2", [200, 202]);
        expect(gaps()).toEqual({ "GW-AO": 1 });
        wrapping("E-2", [0], true);
        wrapping("E-2", [1, 2]);
        expect(gaps()).toEqual({ "GW-AO": 1 });
      });

      test("a restart goes on where it was, so that what was lost meanwhile shows", () => {
        send(7, 9);
        store = opened.reopen();
        expect(gaps()).toEqual({ "GW-PR": 1 });
        send(12);
        expect(gaps()).toEqual({ "GW-PR": 3 });
      });

      test("messages without a counter or a source tell nothing", () => {
        store.commit([incoming([reading(1, 1)]), incoming([], { source: null, sequence: 5 })]);
        expect(gaps()).toEqual({});
      });
    });

    test("keeps the first of a series and time when one of the two carries attributes", () => {
      const step: Sample = { ...reading(1000, 1, "PR-01/step"), attributes: { part: "OFW-2107" } };
      store.commit([incoming([reading(1000, 5, "PR-01/step")]), incoming([step])]);
      expect(store.read({ ...all, series: "PR-01/step" }).map((s) => s.value)).toEqual([5]);
    });

    test("gives back value, quality and attributes as they came", () => {
      const samples: Sample[] = [
        { series: pressure, tMs: 1, value: -0, quality: "uncertain" },
        { series: pressure, tMs: 2, value: 0.1 + 0.2, quality: "good" },
        { series: pressure, tMs: 3, value: null, quality: "bad" },
        { series: pressure, tMs: 4, value: 5, quality: "good", attributes: { part: "OFW-2107", note: "ä“\n" } },
        { series: pressure, tMs: 5, value: Number.MAX_SAFE_INTEGER, quality: "good" },
      ];
      store.commit([incoming(samples)]);
      expect(store.read(all)).toEqual(samples.map((s) => ({ ...s, value: s.value === 0 ? 0 : s.value, late: false })));
      expect(store.latest(pressure)).toEqual({ ...samples[4], late: false });
      expect(store.latest("PR-02/pressure")).toBeUndefined();
    });

    test("marks as late what is older than its source's newest by more than the lateness, and only that", () => {
      store.commit([incoming([reading(100_000, 1)]), incoming([reading(70_000, 2), reading(69_999, 3)])]);
      store.commit([incoming([reading(1_000, 4, "AO-1/t1")]), incoming([reading(69_998, 5, "PR-02/pressure")])]);
      expect(store.read(all).map((s) => s.tMs)).toEqual([70_000, 100_000]);
      expect(store.read(all, { includeLate: true }).map((s) => [s.tMs, s.late])).toEqual([
        [69_999, true],
        [70_000, false],
        [100_000, false],
      ]);
      expect(store.read({ ...all, series: "AO-1/t1" })).toHaveLength(1);
      expect(store.read({ ...all, series: "PR-02/pressure" })).toHaveLength(0);
    });

    test("does not call readings of one message late by one another", () => {
      store.commit([incoming([reading(100_000, 1), reading(10_000, 2)])]);
      expect(store.read(all)).toHaveLength(2);
    });

    test("decides lateness alike, however messages are grouped into commits", () => {
      const messages = [5, 80, 40, 90, 61, 59, 200].map((s) => incoming([reading(s * 1000, s)]));
      store.commit(messages);
      const other = open();
      for (const message of messages) other.store.commit([message]);
      const withLate = { includeLate: true };
      expect(other.store.read(all, withLate)).toEqual(store.read(all, withLate));
      expect(store.read(all, withLate).filter((s) => s.late)).not.toHaveLength(0);
      other.remove();
    });

    test("marks as late what comes for a time its station has cut into runs", () => {
      store.commit([incoming([reading(100_000, 1)])]);
      store.settle("PR-01", 95_000);
      store.settle("PR-01", 90_000);
      store.commit([incoming([reading(94_999, 2), reading(95_000, 3), reading(94_999, 4, "PR-02/pressure")])]);
      expect(store.read(all).map((s) => s.tMs)).toEqual([95_000, 100_000]);
      expect(store.read({ ...all, series: "PR-02/pressure" })).toHaveLength(1);
    });

    test("counts what it keeps as late, each once, and repeats not at all", () => {
      const many = Array.from({ length: 200 }, (_, i) => reading(1_000 + i, 1));
      store.commit([incoming([reading(100_000, 1)]), incoming(many)]);
      expect(store.counts()).toMatchObject({ stored: 201, duplicate: 0, late: 200 });
      store.commit([incoming([...many, reading(999, 1), reading(100_001, 1)])]);
      expect(store.counts()).toMatchObject({ stored: 203, duplicate: 200, late: 201 });
      const reduced = ["rms", "peak"].map((name) => reading(500, 0.5, `PR-01/vibration.${name}`));
      store.commit([incoming(reduced, { items: 1, samplesPerItem: 2 })]);
      expect(store.counts()).toMatchObject({ stored: 204, late: 202 });
    });

    test("tells of a source whose fresh readings are all late, until one is in time again", () => {
      const receivedMs = 10_000_000;
      const send = (...times: number[]) =>
        store.commit([
          incoming(
            times.map((t) => reading(t, 1)),
            { receivedMs },
          ),
        ]);
      send(receivedMs + 3_600_000);
      send(receivedMs - 2, receivedMs - 1);
      const late = { source: "GW-PR", readings: 2, arrivedMs: receivedMs, newestMs: receivedMs + 3_600_000 };
      expect(store.lateSources()).toEqual([late]);
      send(receivedMs);
      // Of the past: sent again, or brought in.
      send(receivedMs - 900_000);
      expect(store.lateSources()).toEqual([{ ...late, readings: 3 }]);
      send(receivedMs + 3_600_000);
      expect(store.lateSources()).toEqual([]);
    });

    test("remembers newest, settled, late marks and counters over a stop", () => {
      store.commit([incoming([reading(100_000, 1)], { qos: 0 })]);
      store.settle("PR-01", 99_000);
      store.close();
      store = opened.reopen();
      expect(store.newestBySource()).toEqual(new Map([["GW-PR", 100_000]]));
      store.commit([incoming([reading(98_999, 2)])]);
      expect(store.read(all).map((s) => s.tMs)).toEqual([100_000]);
      expect(store.counts()).toEqual({
        ...{ received: 2, acknowledged: 1, stored: 2, duplicate: 0, quarantined: 0, late: 1 },
      });
    });

    test("counts a waveform once, whatever number of samples it became", () => {
      const reduced = ["rms", "peak"].map((name) => reading(1000, 0.5, `PR-01/vibration.${name}`));
      const waveform = { items: 1, samplesPerItem: 2 };
      store.commit([incoming([reading(1, 1)]), incoming(reduced, waveform), incoming([reading(2, 1)])]);
      store.commit([incoming(reduced, waveform)]);
      expect(store.counts()).toEqual({
        ...{ received: 4, acknowledged: 4, stored: 3, duplicate: 1, quarantined: 0, late: 0 },
      });
    });

    test("keeps a refused message with its place, caps its bytes, and loses nothing valid beside it", () => {
      const rejections = [{ code: "unknown-unit", place: "/readings/1/unit", detail: "furlong" }];
      const payload = new Uint8Array(10_000).fill(7);
      store.commit([incoming([reading(1000, 1)], { rejections, payload, items: 2 })]);
      const [row, ...others] = store.quarantine({ limit: 10 });
      expect(others).toEqual([]);
      expect(row).toMatchObject({ code: "unknown-unit", place: "/readings/1/unit", size: 10_000 });
      expect(new Uint8Array(row!.bytes)).toEqual(payload.subarray(0, 4096));
      expect(store.read(all)).toHaveLength(1);
      expect(store.counts()).toMatchObject({ received: 2, stored: 1, quarantined: 1 });
      expect(store.quarantine({ afterId: row!.id, limit: 10 })).toEqual([]);
    });

    test("keeps snapshots, and prunes all but one of a range", () => {
      const at = (tMs: number) => ({
        series: "PR-01/vibration",
        tMs,
        rateHz: 2048,
        scale: 0.001,
        samples: new Uint8Array([tMs / 1000, 0]),
      });
      store.commit([incoming([], { snapshots: [at(1000), at(2000), at(3000)] })]);
      store.pruneSnapshots({ series: "PR-01/vibration", fromMs: 0, toMs: 3000 }, 2000);
      const range = { series: "PR-01/vibration", fromMs: 0, toMs: 9000 };
      expect(store.snapshots(range).map((s) => [s.tMs, s.rateHz, s.scale, s.samples[0]])).toEqual([
        [2000, 2048, 0.001, 2],
        [3000, 2048, 0.001, 3],
      ]);
      store.pruneSnapshots(range, null);
      expect(store.snapshots(range)).toEqual([]);
    });

    test("keeps all of a group or nothing", () => {
      const group = [incoming([reading(100_000, 1)]), incoming([reading(1, 1, "nowhere/x")])];
      expect(() => store.commit(group)).toThrow(RangeError);
      expect(store.read(all)).toEqual([]);
      expect(store.counts().received).toBe(0);
      store.commit([incoming([reading(1000, 2)])]);
      expect(store.read(all)).toMatchObject([{ tMs: 1000, late: false }]);
      expect(store.newestBySource()).toEqual(new Map([["GW-PR", 1000]]));
    });

    test("keeps every reading of a group larger than one statement", () => {
      const many = Array.from({ length: 5001 }, (_, i) => reading(i, i));
      store.commit([incoming(many)]);
      expect(store.read(all).map((s) => s.value)).toEqual(many.map((s) => s.value));
      expect(store.counts().stored).toBe(5001);
    });
  });
}
