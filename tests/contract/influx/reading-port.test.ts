import { afterAll, beforeAll, expect, test } from "vitest";
import { openSampleStore } from "../../../collector/store/embedded/embedded-sample-store.ts";
import { influxQuery } from "../../../collector/store/influx/influx-query.ts";
import { influxReadings } from "../../../collector/store/influx/influx-readings.ts";
import { joinedReadings, localReadings } from "../../../collector/store/joined-readings.ts";
import type { ReadingPort } from "../../../collector/store/reading-port.ts";
import type { SampleStore } from "../../../collector/store/sample-store.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { type InfluxServer, influxdb } from "../influxdb.ts";
import { incoming, places, pressure, reading } from "../store/incoming.ts";
import { fillTried, hourMs, type OpenedPort, readingPortContract, step, t0 } from "../store/reading-port.contract.ts";
import { accessTo, type ForwardRig, forwardRig, site } from "./forward-rig.ts";

let server: InfluxServer;
beforeAll(async () => {
  server = await influxdb({ database: null });
}, 90_000);
afterAll(() => server.remove());

let database = 0;
/** A store whose readings are in InfluxDB as well, and what makes its port. */
async function forwarded(portOf: (rig: ForwardRig, far: ReadingPort) => ReadingPort): Promise<OpenedPort> {
  database += 1;
  const name = `d${database}`;
  await server.ask(`CREATE DATABASE "${name}"`);
  const folder = temporaryFolder();
  const plain = openSampleStore(folder.path, places);
  const rig = forwardRig(() => accessTo(server.url, { database: name }));
  for (const store of [plain, rig.store()]) {
    fillTried(store);
    store.settle("PR-01", t0 + 100 * hourMs);
    while (store.sealSome());
  }
  rig.begin();
  await rig.arrived();
  const query = influxQuery(accessTo(server.url, { database: name }));
  return {
    port: portOf(rig, influxReadings(query, site)),
    plain,
    close: async () => {
      query.close();
      await rig.remove();
      plain.close();
      folder.remove();
    },
  };
}

function letGo(store: SampleStore, beforeMs: number): void {
  for (const series of [pressure, step]) while (store.letGo("readings", series, beforeMs).more);
}

readingPortContract("the local store", () => forwarded((rig) => localReadings(rig.store())));
readingPortContract("InfluxDB alone", () => forwarded((_, far) => far));
readingPortContract("both together, where half was let go", () =>
  forwarded((rig, far) => {
    letGo(rig.store(), t0 + 8 * hourMs);
    expect(rig.store().keptFrom(pressure)).toBe(t0 + 8 * hourMs);
    return joinedReadings(rig.store(), far);
  }),
);
readingPortContract("both together, where all was let go and some of it came again", () =>
  forwarded((rig, far) => {
    letGo(rig.store(), t0 + 90 * hourMs);
    rig.store().commit([incoming([reading(t0, 0.9), reading(t0 + 20 * hourMs, null)])]);
    return joinedReadings(rig.store(), far);
  }),
);

test("a reading that comes late for a time that was let go is there at once, in lists and columns, and once", async () => {
  const made = await forwarded((rig, far) => {
    letGo(rig.store(), t0 + 8 * hourMs);
    rig.store().commit([incoming([reading(t0 + 7, 77)])]);
    return joinedReadings(rig.store(), far);
  });
  const range = { series: pressure, fromMs: t0, toMs: t0 + 60_000 };
  const look = async (): Promise<void> => {
    const found = await made.port.read(range, { includeLate: true });
    expect(found.map(({ value }) => value).slice(0, 3)).toEqual([0.9, 0.5, 77]);
    const columns = await made.port.trend(range, 4);
    expect(columns.reduce((sum, { n }) => sum + n, 0)).toBe(12 + 2);
    expect(columns[0]).toMatchObject({ max: 77 });
  };
  await look();
  await made.close();
}, 60_000);
