import { type DestinationStream, type Logger, pino } from "pino";
import type { LogLevel } from "./environment.ts";

/** One line of JSON an event. What the log must never hold, it leaves out by name. */
export type Log = Logger;

/**
 * Makes the process's log: JSON on standard error, since standard output belongs to results and to the `ready:` line.
 * Written at once, not in the background, so that the last line before an exit is there.
 */
export function openLog(level: LogLevel, to?: DestinationStream): Log {
  return pino(
    {
      level,
      base: { pid: process.pid },
      timestamp: pino.stdTimeFunctions.isoTime,
      redact: {
        paths: [
          "password",
          "*.password",
          "token",
          "pin",
          "*.pin",
          "secret",
          "*.secret",
          "cookie",
          "*.cookie",
          "*.token",
          "authorization",
          "*.authorization",
          "payload",
          "*.payload",
        ],
        censor: "[left out]",
      },
    },
    to ?? pino.destination({ dest: 2, sync: true }),
  );
}
