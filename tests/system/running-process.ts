import { type ChildProcess, spawn } from "node:child_process";
import { eventually } from "../eventually.ts";

/** A process of the product or beside it, started by a test and ended by it. */
export interface RunningProcess {
  readonly pid: number;
  /** All it has said so far, on either stream. */
  said(): string;
  ended(): boolean;
  /** Sends a signal and does not wait. */
  signal(name: NodeJS.Signals): void;
  /** Ends it, at first politely, and gives its exit code (null when a signal ended it). */
  stop(): Promise<number | null>;
  /** Waits until it ends by itself. */
  exit(withinMs?: number): Promise<number | null>;
  /** Waits until it has said something, and gives the match. */
  says(pattern: RegExp, withinMs?: number): Promise<RegExpMatchArray>;
}

const politeMs = 60_000;

/**
 * Most processes of tests live for seconds. V8 spends a third of such a start on making quick what will hardly run again,
 * in threads that other tests wait for; with this it begins later. What runs for long still becomes as quick. Bench and
 * soak measure: they start what users start.
 */
export const nodeOptions: readonly string[] = process.env["VITEST"] === undefined ? [] : ["--interrupt-budget=2000000"];

/** `node` with the words given, from the project's root. Of our environment it inherits no `STEADYPOUR_*`. */
export function startNode(
  words: readonly string[],
  environment: Readonly<Record<string, string>> = {},
): RunningProcess {
  return start(process.execPath, [...nodeOptions, ...words], environment);
}

export function start(
  command: string,
  words: readonly string[],
  environment: Readonly<Record<string, string>> = {},
): RunningProcess {
  const inherited = Object.entries(process.env).filter(
    ([name]) => !name.startsWith("STEADYPOUR_") && name !== "NODE_OPTIONS",
  );
  const child = spawn(command, words, {
    env: { ...Object.fromEntries(inherited), ...environment },
    stdio: ["ignore", "pipe", "pipe"],
  });
  return watched(child, [command, ...words].join(" "));
}

function watched(child: ChildProcess, name: string): RunningProcess {
  if (child.pid === undefined) throw new Error(`could not start: ${name}`);
  let said = "";
  const hear = (text: string): void => {
    said += text;
  };
  child.stdout?.setEncoding("utf8").on("data", hear);
  child.stderr?.setEncoding("utf8").on("data", hear);
  // A test run that is broken off must not leave the process behind.
  const orphaned = (): boolean => child.kill("SIGKILL");
  process.once("exit", orphaned);
  const exited = new Promise<number | null>((resolve) => child.once("close", resolve));
  void exited.then(() => process.off("exit", orphaned));
  const ended = (): boolean => child.exitCode !== null || child.signalCode !== null;

  return {
    pid: child.pid,
    said: () => said,
    ended,
    signal: (signal) => child.kill(signal),
    async stop() {
      if (!ended()) child.kill("SIGTERM");
      const timer = setTimeout(() => child.kill("SIGKILL"), politeMs);
      const code = await exited;
      clearTimeout(timer);
      return code;
    },
    async exit(withinMs = 60_000) {
      await eventually(`${name} ends`, ended, withinMs).catch((error: Error) => {
        throw new Error(`${error.message}; it said:\n${said}`);
      });
      return exited;
    },
    async says(pattern, withinMs = 60_000) {
      const found = await eventually(
        `${name} says ${pattern}`,
        () => {
          const match = said.match(pattern);
          return match ?? (ended() ? "ended" : undefined);
        },
        withinMs,
      );
      if (found === "ended")
        throw new Error(`${name} ended (${child.exitCode ?? child.signalCode}) and said:\n${said}`);
      return found;
    },
  };
}
