import { readFileSync } from "node:fs";
import { pino } from "pino";
import { seriesCatalogue, seriesPlaces } from "../../collector/decode/catalogue.ts";
import { payloadV1 } from "../../collector/decode/payload-v1.ts";
import { topicSources } from "../../collector/decode/topic-sources.ts";
import { intake } from "../../collector/intake/intake.ts";
import { memoryBus } from "../../collector/platform/bus.ts";
import { systemClock } from "../../collector/platform/clock.ts";
import { loadSettings } from "../../collector/platform/settings/load.ts";
import { brokerMemory } from "../../collector/source/broker-memory.ts";
import { embeddedBroker } from "../../collector/source/embedded-broker.ts";
import { externalBroker } from "../../collector/source/external-broker.ts";
import { openDataFolder } from "../../collector/store/embedded/open-data-folder.ts";

/**
 * The product as far as the acknowledgement, as a process: source, decoder, intake, store; nothing behind them.
 * `node door.js DATA PORT` is its own broker, on a free port when it is 0; `node door.js DATA BROKER-URL` goes to another.
 */
const [folder = "", where = "0"] = process.argv.slice(2);
const url = where.includes(":") ? where : undefined;
const settings = loadSettings(readFileSync("simulator/ostrimvale.yaml"));
if (!settings.ok) throw new Error(JSON.stringify(settings.mistakes));
const { site } = settings;
const data = openDataFolder(folder, seriesPlaces(site));
const decoder = payloadV1({
  catalogue: seriesCatalogue(site),
  sourcesOf: topicSources(site.sources),
  snapshotEveryMs: 5_000,
});
const door = intake({
  decoder,
  store: data.samples,
  bus: memoryBus(),
  clock: systemClock,
  report: (fault) => console.log(fault === null ? "store: works" : `store: ${fault.code}: ${fault.message}`),
});
const log = pino({ level: "silent" });
const topics = site.sources.map((source) => source.topic);
const embedded = embeddedBroker({ host: "127.0.0.1", port: url === undefined ? Number(where) : 0, clock: systemClock });
const source =
  url === undefined
    ? embedded
    : externalBroker({
        access: () => ({ url, clientId: "steadypour", protocolVersion: 4 }),
        ...{ topics, clock: systemClock, log, memory: brokerMemory(data.samples, log) },
      });
await source.start(door.handle);
console.log(`ready: ${url ?? `mqtt://127.0.0.1:${embedded.port()}`}`);

process.once("SIGTERM", async () => {
  await source.stop();
  door.stop();
  console.log(`counts: ${JSON.stringify(data.samples.counts())}`);
  data.close();
});
