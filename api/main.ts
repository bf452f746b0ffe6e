import { readFileSync } from "node:fs";
import { createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { fileURLToPath } from "node:url";
import { memoryBus } from "../collector/platform/bus.ts";
import { systemClock } from "../collector/platform/clock.ts";
import { type Environment, readEnvironment } from "../collector/platform/environment.ts";
import { Fault } from "../collector/platform/fault.ts";
import { type Log, openLog } from "../collector/platform/log.ts";
import type { Site } from "../collector/platform/settings/site.ts";
import { openSiteData, siteSource, startCollector } from "../collector/start.ts";
import { createApp } from "./app.ts";
import { liveStream } from "./live.ts";
import { keepUp } from "./read-model/keep-up.ts";
import { readModel } from "./read-model/read-model.ts";
import { readSettings } from "./read-settings.ts";

/** Composition root: makes the parts from the environment and starts them; what it opened it closes again, last first. */
async function start(environment: Environment, site: Site, log: Log): Promise<() => Promise<void>> {
  const opened: (() => void | Promise<void>)[] = [];
  const close = async (): Promise<void> => {
    for (const end of opened.splice(0).reverse()) await end();
  };
  try {
    const bus = memoryBus();
    const clock = systemClock;
    const report = (err: unknown, words: string): void => log.error({ err }, words);
    const data = openSiteData(environment.dataFolder, site);
    opened.push(data.close);
    const { samples, journal } = data;
    const model = readModel(site, journal);
    await model.load();
    // Before the collector: with the port taken nothing must have begun.
    const server = createServer();
    await listen(server, environment.http);
    opened.push(() => closeServer(server));
    const source = siteSource(site, environment, clock);
    const collector = await startCollector({ site, data, source, clock, bus, log });
    opened.push(collector.stop);
    collector.ended.catch((error: unknown) => {
      log.fatal({ err: error }, "the pipeline met a defect; the next start goes on from its checkpoints");
      process.exit(1);
    });
    const keeping = keepUp({ model, journal, bus, clock, report });
    opened.push(keeping.stop);
    const { freshness } = collector;
    const live = liveStream({ model, freshness, clock, report });
    opened.push(live.stop);
    live.attach(server);
    const app = createApp({
      ...{ site, samples, journal, bus, clock, model, report, version: version() },
      process: {
        lacking: () => {
          const { source: now, intake } = collector.status();
          return [
            ...(now.connected ? [] : [{ place: "source", found: now.detail, expected: "a broker that answers" }]),
            ...(intake.fault === null
              ? []
              : [{ place: "store", found: intake.fault.message, expected: "a store that keeps what it is given" }]),
          ];
        },
        source: () => collector.status().source,
        lagMs: () => collector.status().lagMs,
        freshness,
        liveClients: () => live.clients,
      },
      webFolder: fileURLToPath(new URL("../web", import.meta.url)),
    });
    server.on("request", app);
    const { address, port } = server.address() as AddressInfo;
    log.info({ http: `http://${address}:${port}`, site: site.name, data: environment.dataFolder }, "started");
    return close;
  } catch (error) {
    await close();
    throw error;
  }
}

function listen(server: Server, { host, port }: Environment["http"]): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once("error", (cause: NodeJS.ErrnoException) => {
      const words =
        cause.code === "EADDRINUSE"
          ? `STEADYPOUR_HTTP_PORT: ${host}:${port} is taken by another program`
          : `STEADYPOUR_HTTP_HOST: cannot listen on ${host}:${port}, ${cause.message}`;
      reject(new Fault("port-in-use", words, { retryable: false, cause }));
    });
    server.listen(port, host, () => resolve());
  });
}

function closeServer(server: Server): Promise<void> {
  server.closeAllConnections();
  return new Promise((resolve) => server.close(() => resolve()));
}

function version(): string {
  const text = readFileSync(new URL("../../package.json", import.meta.url), "utf8");
  return (JSON.parse(text) as { version: string }).version;
}

async function main(): Promise<void> {
  try {
    const environment = readEnvironment(process.env);
    const { site } = readSettings(environment.config);
    const close = await start(environment, site, openLog(environment.logLevel));
    const stop = (): void => {
      close().then(
        () => process.exit(0),
        (error: unknown) => {
          process.stderr.write(`steadypour: stopping failed, ${String(error)}\n`);
          process.exit(1);
        },
      );
    };
    process.once("SIGTERM", stop);
    process.once("SIGINT", stop);
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    process.stderr.write(`${error.message}\n`);
    process.exit(2);
  }
}

await main();
