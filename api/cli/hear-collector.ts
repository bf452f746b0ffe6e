import { systemClock } from "../../collector/platform/clock.ts";
import { readEnvironment } from "../../collector/platform/environment.ts";
import { Fault } from "../../collector/platform/fault.ts";
import { openLog } from "../../collector/platform/log.ts";
import { hearCollector as hear } from "../../collector/start.ts";
import { commandSite } from "./command-site.ts";
import { commandLine, type Verb } from "./verb.ts";

/** It speaks each second; on a machine that is busy it may be late. */
const WITHIN_MS = 8_000;

export const hearCollector: Verb = {
  form: "",
  summary: "where collector and api are apart: tells whether the collector speaks",
  help: `Waits ${WITHIN_MS / 1000} s for a word of the collector that runs with STEADYPOUR_ROLES=collector over the same settings, data folder and
broker. Exit 0 as soon as it was heard, 1 when it was not. For health checks; it changes nothing.`,
  run: async (args, io) => {
    commandLine(args, {});
    const environment = readEnvironment(process.env);
    const site = commandSite(undefined, environment);
    if (await hear({ site, environment, clock: systemClock, log: openLog("silent") }, WITHIN_MS)) {
      io.print("the collector speaks");
      return;
    }
    throw new Fault("collector-away", `nothing was heard of the collector within ${WITHIN_MS / 1000} s`, {
      retryable: true,
    });
  },
};
