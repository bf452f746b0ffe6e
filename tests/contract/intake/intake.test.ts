import { afterEach, beforeEach, expect, test } from "vitest";
import { type Intake, intake } from "../../../collector/intake/intake.ts";
import { memoryBus } from "../../../collector/platform/bus.ts";
import { systemClock } from "../../../collector/platform/clock.ts";
import { Fault } from "../../../collector/platform/fault.ts";
import { openSampleStore } from "../../../collector/store/embedded/embedded-sample-store.ts";
import type { SampleStore } from "../../../collector/store/sample-store.ts";
import { eventually } from "../../eventually.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { decoder, oneReading, raw, readingsOf, T0 } from "../../unit/decode/decoding.ts";
import { places, pressure } from "../store/incoming.ts";

let folder: ReturnType<typeof temporaryFolder>;
let store: SampleStore;
let door: Intake;
let broken: Error | null;
let reports: (string | null)[];
let settled: string[];
let announced: number;
beforeEach(() => {
  folder = temporaryFolder();
  store = openSampleStore(folder.path, places);
  broken = null;
  reports = [];
  settled = [];
  announced = 0;
  const bus = memoryBus();
  bus.on("samples", () => {
    announced += 1;
  });
  const failing: SampleStore = {
    ...store,
    commit: (messages) => {
      if (broken !== null) throw broken;
      store.commit(messages);
    },
  };
  door = intake({
    decoder,
    store: failing,
    bus,
    clock: systemClock,
    report: (fault) => reports.push(fault?.code ?? null),
  });
});
afterEach(() => {
  door.stop();
  store.close();
  folder.remove();
});

function send(name: string, payload: unknown = readingsOf(oneReading({ t: T0 + Number(name) })), qos: 0 | 1 = 1): void {
  door.handle(raw(payload, { qos }), (error) => settled.push(error === undefined ? name : `${name}: ${error.message}`));
}
const stored = () => store.read({ series: pressure, fromMs: 0, toMs: T0 * 2 }).length;
const numbers = (count: number) => Array.from({ length: count }, (_, n) => String(n));

test("a message is settled when it is in the store, and the others are told", async () => {
  send("1");
  expect([settled, stored()]).toEqual([[], 0]);
  await eventually("settled", () => settled.length === 1);
  expect([settled, stored(), announced]).toEqual([["1"], 1, 1]);
});

test("many messages share a commit and are settled in their order", async () => {
  for (const name of numbers(9_000)) send(name);
  expect(door.status().waiting).toBe(1_000);
  await eventually("all settled", () => settled.length === 9_000);
  expect(settled).toEqual(numbers(9_000));
  expect(stored()).toBe(9_000);
  expect(door.status().commits).toBe(3);
});

test("a poison message is kept aside and settled, and nothing valid is lost beside it", async () => {
  send("1");
  send("2", new Uint8Array([0xff, 0xfe]));
  send("3", readingsOf(oneReading({ t: T0 + 3 }), oneReading({ unit: "furlong" })));
  send("4");
  await eventually("all settled", () => settled.length === 4);
  expect(settled).toEqual(["1", "2", "3", "4"]);
  expect(stored()).toBe(3);
  expect(store.quarantine({ limit: 9 }).map((row) => [row.code, row.place, row.topic])).toEqual([
    ["not-utf8", "", "ostrimvale/GW-PR/readings"],
    ["unknown-unit", "/readings/1/unit", "ostrimvale/GW-PR/readings"],
  ]);
  expect(store.counts()).toEqual({ received: 5, acknowledged: 5, stored: 3, duplicate: 0, quarantined: 2, late: 0 });
});

test("while the store fails everything is refused, and it goes on when the store works again", async () => {
  broken = new Fault("disk-full", "no room left", { retryable: true });
  send("1");
  send("2");
  await eventually("refused", () => settled.length === 2);
  send("3");
  expect(settled).toEqual(["1: no room left", "2: no room left", "3: no room left"]);
  expect(door.status()).toMatchObject({ fault: { code: "disk-full" }, waiting: 0 });
  expect([stored(), announced]).toEqual([0, 0]);
  broken = null;
  settled = [];
  await eventually("taken again", () => {
    send("4");
    return settled.includes("4");
  });
  expect(door.status().fault).toBeNull();
  expect(reports).toEqual(["disk-full", null]);
  expect(stored()).toBe(1);
});

test("what is our own bug settles nothing", () => {
  broken = new RangeError("a defect");
  expect(() => {
    for (const name of numbers(4_000)) send(name);
  }).toThrow("a defect");
  expect(settled).toEqual([]);
});

test("stopping puts on disk what is held and refuses what comes later", () => {
  send("1");
  door.stop();
  send("2");
  expect(settled).toEqual(["1", "2: the product is stopping"]);
  expect(stored()).toBe(1);
});

test("messages of QoS 0 are counted as unconfirmed", async () => {
  send("1", undefined, 0);
  send("2");
  await eventually("both settled", () => settled.length === 2);
  expect(door.status().unconfirmed).toBe(1);
  expect(store.counts()).toMatchObject({ received: 2, acknowledged: 1 });
});
