import { closeSync, fsyncSync, openSync, writeSync } from "node:fs";
import type { BrokerAccess } from "../../collector/platform/broker-access.ts";
import { brokerAccess } from "../../collector/platform/broker-access.ts";
import { systemClock } from "../../collector/platform/clock.ts";
import { readEnvironment } from "../../collector/platform/environment.ts";
import { Fault } from "../../collector/platform/fault.ts";
import { durationMs } from "../../collector/platform/settings/schema.ts";
import { recording } from "../../collector/start.ts";
import { brokerOf, brokerOptions, brokerOptionsHelp } from "./broker-options.ts";
import { commandSite } from "./command-site.ts";
import { untilStopped } from "./until-stopped.ts";
import { UsageError } from "./usage-error.ts";
import { commandLine, oneFile, type Verb } from "./verb.ts";

const PROGRESS_EVERY_MS = 2_000;

export const record: Verb = {
  form: "FILE [--broker ADDRESS] [--topic FILTER]... [--for DURATION] [--config SETTINGS]",
  summary: "writes what is published at a broker into a file, to be replayed elsewhere",
  help: `Listens beside the product, which goes on as if nobody did, and writes each message into FILE, which must be new: one
line of JSON a message with time of arrival, topic, QoS and payload in base64. Ends at Ctrl-C, or after --for.

--broker ADDRESS       such as mqtts://broker:8883; left out, the one that settings or STEADYPOUR_BROKER_* name, else the
                       product's own on this machine
--topic FILTER         may be given several times; left out, the topics of the settings' sources
--for DURATION         such as 30 s, 10 min, 8 h
With --broker:
${brokerOptionsHelp}

Last-known values that the broker keeps are not recorded, nor commands of Sparkplug B; the births of its edge nodes are only
in a recording that they fall into. What is published while the broker is away is not in it. SETTINGS defaults to
STEADYPOUR_CONFIG.`,
  run: async (args, io) => {
    const { values, words } = commandLine(args, {
      ...brokerOptions,
      broker: { type: "string" },
      topic: { type: "string", multiple: true },
      for: { type: "string" },
      config: { type: "string" },
    });
    const file = oneFile(words);
    const forMs = values.for === undefined ? null : duration(values.for);
    const environment = readEnvironment(process.env);
    const site =
      values.topic === undefined || values.broker === undefined ? commandSite(values.config, environment) : null;
    const topics = values.topic ?? site?.sources.map(({ topic }) => topic) ?? [];
    if (topics.length === 0) throw new UsageError("found no source in the settings, expected --topic");
    const { host, port } = environment.mqtt;
    const access: BrokerAccess =
      values.broker !== undefined
        ? brokerOf("--broker", values.broker, values)
        : (brokerAccess(site?.broker ?? null, environment.broker, "unused")?.() ??
          brokerOf("STEADYPOUR_MQTT_HOST", `mqtt://${host.includes(":") ? `[${host}]` : host}:${port}`, {}));
    const fd = opened(file);
    let count = 0;
    let bytes = 0;
    const write = (line: string): void => {
      try {
        bytes += writeSync(fd, `${line}\n`);
      } catch (cause) {
        const why = (cause as Error).message;
        throw new Fault("output-unwritable", `${file}: cannot be written, ${why}`, { retryable: false, cause });
      }
    };
    const progress = setInterval(() => io.warn(`${count} messages, ${(bytes / 1e6).toFixed(1)} MB`), PROGRESS_EVERY_MS);
    try {
      write(recording.head(systemClock.nowMs(), topics));
      io.warn(`records ${topics.join(", ")} of ${access.url}`);
      const take: Parameters<typeof recording.record>[0]["take"] = (message) => {
        write(recording.line(message));
        count += 1;
      };
      await recording.record({ access, topics, clock: systemClock, take, say: io.warn }, untilStopped(forMs));
      fsyncSync(fd);
    } finally {
      clearInterval(progress);
      closeSync(fd);
    }
    io.print(`${count} messages recorded in ${file}, ${(bytes / 1e6).toFixed(1)} MB`);
  },
};

function opened(file: string): number {
  try {
    return openSync(file, "wx", 0o640);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "EEXIST") {
      throw new UsageError(`${file}: is there already, expected a new file`);
    }
    throw new UsageError(`${file}: cannot be written, ${(error as Error).message}`);
  }
}

function duration(text: string): number {
  if (/^(?=.*[1-9])\d+(\.\d+)?\s?(ms|s|min|h|d)$/.test(text) && durationMs(text) < 2 ** 31) return durationMs(text);
  throw new UsageError(`--for: found ${text}, expected a duration such as 30 s, 10 min, 8 h, of at most 24 d`);
}
