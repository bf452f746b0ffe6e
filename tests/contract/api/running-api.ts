import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { createApp } from "../../../api/app.ts";
import type { SocketBudget } from "../../../api/live/socket-budget.ts";
import { type LivePace, liveStream } from "../../../api/live.ts";
import type { ProcessStatus } from "../../../api/parts.ts";
import { openAccess } from "../../../api/people/access.ts";
import { seedAccounts } from "../../../api/people/seed-accounts.ts";
import type { Mistake } from "../../../api/problem.ts";
import { keepUp } from "../../../api/read-model/keep-up.ts";
import { type ReadModel, readModel } from "../../../api/read-model/read-model.ts";
import { type Bus, memoryBus } from "../../../collector/platform/bus.ts";
import { systemClock } from "../../../collector/platform/clock.ts";
import type { PersonSettings } from "../../../collector/platform/settings/people-schema.ts";
import type { Site } from "../../../collector/platform/settings/site.ts";
import { messageWords, openSiteData, sitePost } from "../../../collector/start.ts";
import type { DataFolder } from "../../../collector/store/embedded/open-data-folder.ts";
import { localReadings } from "../../../collector/store/joined-readings.ts";
import type { ReadingPort } from "../../../collector/store/reading-port.ts";
import { demoSite, siteOf } from "../../demo-site.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { addTestSessions } from "./test-sessions.ts";

/** The api over a real store in a new folder, on a real port; no collector behind it. */
export interface RunningApi {
  readonly url: string;
  readonly site: Site;
  readonly data: DataFolder;
  readonly model: ReadModel;
  readonly bus: Bus;
  /** What `/readyz` is told is lacking; a test may fill it. */
  readonly lacking: Mistake[];
  /** Our own defects that came up. */
  readonly defects: unknown[];
  readonly liveClients: () => number;
  stop(): Promise<void>;
}

export interface ApiOptions {
  readonly webFolder?: string;
  /** Settings as YAML, in place of the demo's. */
  readonly settings?: string;
  /** In place of the demo's. */
  readonly persons?: readonly PersonSettings[];
  /** Of messages; left out, none leave. */
  readonly publicKey?: string;
  /** What befell an outside broker; left out, it is the embedded one. */
  readonly broker?: ReturnType<ProcessStatus["source"]>["broker"];
  /** Whether the signed-out may look and send; they may, unless told otherwise. */
  readonly open?: boolean;
  readonly budget?: SocketBudget;
  readonly readings?: ReadingPort;
  readonly longTerm?: ProcessStatus["longTerm"];
  readonly pace?: LivePace;
  /** Fills the journal and store before the read model is built. */
  readonly before?: (data: DataFolder, site: Site) => void;
}

export async function runningApi(options: ApiOptions = {}): Promise<RunningApi> {
  const { settings } = options;
  const demo = settings === undefined ? demoSite() : siteOf(settings);
  const site = { ...demo, persons: options.persons ?? demo.persons };
  const folder = temporaryFolder();
  const data = openSiteData(folder.path, site);
  options.before?.(data, site);
  const { samples, journal } = data;
  const bus = memoryBus();
  const clock = systemClock;
  const model = readModel(site, journal);
  await model.load();
  const posted = sitePost({ site, data, bus, clock });
  const lacking: Mistake[] = [];
  const defects: unknown[] = [];
  const report = (error: unknown): void => void defects.push(error);
  const freshness: ProcessStatus["freshness"] = () =>
    site.stations.map(({ id: station, source }) => ({
      ...{ station, source, newestMs: null, state: "never", overdue: null, openSinceMs: null },
      ...{ missing: null, refused: null, late: null, clockMs: null },
    }));
  const { budget, pace } = options;
  const access = openAccess({
    ...{ people: data.people, record: data.record, devices: data.messages, report: () => {} },
    hosts: ["plant.example"],
    ...{ openReading: options.open ?? true, openSending: options.open ?? true },
  });
  seedAccounts(data, site.persons, clock.nowMs());
  addTestSessions(data.people);
  const live = liveStream({
    ...{ model, freshness, clock, report, access, door: () => [] },
    ...(budget === undefined ? {} : { budget }),
    ...(pace === undefined ? {} : { pace }),
  });
  const app = createApp({
    ...{ site, samples, journal, bus, clock, model, report, access, version: "0.0.0" },
    post: posted.take,
    readings: options.readings ?? localReadings(samples),
    process: {
      lacking: () => lacking,
      source: () => ({
        collector: true,
        linesAway: [],
        pair: null,
        connected: true,
        unacknowledged: 3,
        reconnects: 1,
        broker: options.broker ?? null,
      }),
      clockOffsetsMs: () => new Map([["GW-PR", -90_000]]),
      unconfirmed: () => 2,
      lagMs: () => new Map([["PR-01", 1500]]),
      freshness,
      liveClients: () => live.clients,
      letGo: () => samples.letGoCount(),
      longTerm: options.longTerm ?? null,
    },
    messages: {
      ...messageWords(site),
      ...{ book: data.messages, publicKey: options.publicKey ?? null, trouble: () => [] },
    },
    webFolder: options.webFolder ?? "no such folder",
  });
  const server = createServer(app);
  live.attach(server);
  const keeping = keepUp({ model, journal, bus, clock, report });
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  const { port } = server.address() as AddressInfo;

  return {
    ...{ url: `http://127.0.0.1:${port}`, site, data, model, bus, lacking, defects },
    liveClients: () => live.clients,
    stop: async () => {
      posted.stop();
      await live.stop();
      await keeping.stop();
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
      data.close();
      folder.remove();
    },
  };
}
