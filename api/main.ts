import { systemClock } from "../collector/platform/clock.ts";
import { type Environment, readEnvironment } from "../collector/platform/environment.ts";
import { Fault } from "../collector/platform/fault.ts";
import { type Log, openLog } from "../collector/platform/log.ts";
import type { Site } from "../collector/platform/settings/site.ts";
import { awaitLease } from "../collector/start.ts";
import { startOffice } from "./central/office.ts";
import { type Product, startProduct } from "./product.ts";
import { readSettings } from "./read-settings.ts";

/** Longer than this, and stopping has failed: the next start goes on from the checkpoints. */
const stopWithinMs = 30_000;

/** Exit code of a collector that another one took over from: neither a mistake nor a defect. */
const overtaken = 3;

/** The product, as `npm start` runs it. Whatever keeps it from starting is said on standard error, with exit code 2. */
async function main(): Promise<void> {
  const environment = readEnvironment(process.env);
  const { site, file, digest } = readSettings(environment.config);
  const log = openLog(environment.logLevel);
  const lease = await turnOf(environment, site, log);
  if (lease === "stopped") return;
  const begin = async (now: Environment): Promise<Product> => {
    const begun = await startProduct(now, site, log, digest, lease).catch((error: unknown) => {
      if (lease === null || !(error instanceof Fault) || !error.retryable) throw error;
      // Whatever started it must start it again: then it stands by, and the other one may fare better.
      log.fatal({ code: error.code, err: error }, "the line was taken over and could not be begun");
      return process.exit(1);
    });
    if (begun.url !== null && begun.firstLink !== null) tellFirstLink(begun.url, begun.firstLink);
    return begun;
  };
  const folder = environment.lines;
  const product = await (folder === null
    ? begin(environment)
    : startOffice({ environment, folder, start: begin, clock: systemClock, log }));
  product.ended.catch((error: unknown) => {
    if (error instanceof Fault && error.code === "lease-lost") {
      log.error({ code: error.code }, `${error.message}; started again it stands by`);
      process.exit(overtaken);
    }
    log.fatal({ err: error }, "the pipeline met a defect; the next start goes on from its checkpoints");
    process.exit(1);
  });
  stopOnSignals(product, log);
  log.info({ http: product.url, settings: file, data: environment.dataFolder }, "started");
}

/** Of two collectors this one waits here until the line is its own; a signal meanwhile ends it. */
async function turnOf(environment: Environment, site: Site, log: Log): ReturnType<typeof awaitLease> {
  const stopping = new AbortController();
  const stop = (): void => stopping.abort();
  process.on("SIGTERM", stop);
  process.on("SIGINT", stop);
  const lease = await awaitLease({ site, environment, log }, stopping.signal);
  process.off("SIGTERM", stop);
  process.off("SIGINT", stop);
  return lease;
}

/** On standard output and not in the log, which others may keep and read: it opens everything, once. */
function tellFirstLink(url: string, path: string): void {
  const reachable = url.replace(/\/\/(0\.0\.0\.0|\[::\])(?=:)/, "//localhost");
  process.stdout.write(
    `first administrator: open ${reachable}${path} within 24 hours; it works once, and the next start prints another\n`,
  );
}

function stopOnSignals(product: Product, log: Log): void {
  let stopping = false;
  const stop = (signal: NodeJS.Signals): void => {
    // A terminal and npm may both send it; the second must not break off what the first began.
    if (stopping) return;
    stopping = true;
    log.info({ signal }, "stopping");
    const overdue = setTimeout(() => {
      log.error("stopping took too long");
      process.exit(1);
    }, stopWithinMs);
    overdue.unref();
    product.stop().then(
      () => process.exit(0),
      (error: unknown) => {
        log.error({ err: error }, "stopping failed");
        process.exit(1);
      },
    );
  };
  process.on("SIGTERM", stop);
  process.on("SIGINT", stop);
}

try {
  await main();
} catch (error) {
  if (!(error instanceof Fault)) throw error;
  process.stderr.write(`${error.message}\n`);
  process.exit(2);
}
