import { readFileSync } from "node:fs";
import { pino } from "pino";
import { memoryBus } from "../../collector/platform/bus.ts";
import { systemClock } from "../../collector/platform/clock.ts";
import { readEnvironment } from "../../collector/platform/environment.ts";
import { loadSettings } from "../../collector/platform/settings/load.ts";
import { openSiteData, siteSource, startCollector } from "../../collector/start.ts";

/**
 * The whole collector as a process: takes what waits at the broker, commits, acknowledges, cuts, charts and judges it.
 * `node take-ours.js URL DATA COUNT`; COUNT 0 only makes the session. With `listen:PORT` for the URL it is the broker
 * itself. Prints the seconds from the first message to when the last is committed and the pipeline has nothing left to
 * cut, and the CPU seconds of all its threads from the first message on.
 */
const [url = "", folder = "", countWord = "0"] = process.argv.slice(2);
const count = Number(countWord);
const settings = loadSettings(readFileSync("simulator/ostrimvale.yaml"));
if (!settings.ok) throw new Error(JSON.stringify(settings.mistakes));
const { site } = settings;
const data = openSiteData(folder, site);
const bus = memoryBus();
const clock = systemClock;
const log = pino({ level: "error" });
let firstMs = 0;
let started = process.cpuUsage();
const began = (): void => {
  if (firstMs > 0) return;
  firstMs = performance.now();
  started = process.cpuUsage();
};
bus.on("samples", began);
const [, port] = /^listen:(\d+)$/.exec(url) ?? [];
const where = port === undefined ? { STEADYPOUR_BROKER_URL: url } : { STEADYPOUR_MQTT_PORT: port };
const source = siteSource({ site, environment: readEnvironment(where), clock, log, data });
const handleAt: typeof source = {
  ...source,
  start: (handle) =>
    source.start((message, settled) => {
      began();
      handle(message, settled);
    }),
};
const collector = await startCollector({ site, data, source: handleAt, clock, bus, log });

console.log("listening");

const never = new AbortController().signal;
const done = (): boolean =>
  data.samples.counts().stored >= count &&
  [...collector.status().lagMs.values()].every((lagMs) => lagMs <= site.latenessMs);
/** The pipeline wakes a moment after a commit, so it must have nothing to do for a while; that while is not counted. */
const stillMs = 200;
let doneMs = performance.now();
while (count > 0 && performance.now() - doneMs < stillMs) {
  await clock.sleep(5, never);
  if (!done()) doneMs = performance.now();
}
const seconds = (doneMs - firstMs) / 1000;
const ended = Date.now() - Math.round(performance.now() - doneMs);
const runs = data.journal.read({ kinds: ["run"] }).length;
const { user, system } = process.cpuUsage(started);
console.log(JSON.stringify({ seconds, ended, cpuSeconds: (user + system) / 1e6, runs, ...data.samples.counts() }));
await collector.stop();
data.close();
