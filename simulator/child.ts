import { type ChildProcess, spawn } from "node:child_process";

const endWithParent = new URL("./end-with-parent.js", import.meta.url).href;

/** A process that the demo started and ends. */
export interface Child {
  readonly name: string;
  /** Resolves when it has ended, with how. */
  readonly ended: Promise<string>;
  /** Ends it, at first politely. */
  end(withinMs: number): Promise<void>;
}

/** Starts one of our own programs, with node's options before it; what it says goes to stderr, for stdout is the demo's own. */
export function startChild(
  name: string,
  words: readonly string[],
  environment: Readonly<Record<string, string>>,
): Child {
  const child = spawn(process.execPath, [...process.execArgv, "--import", endWithParent, ...words], {
    env: { ...process.env, ...environment },
    stdio: ["ignore", 2, 2, "ipc"],
  });
  const orphaned = (): boolean => child.kill("SIGTERM");
  process.once("exit", orphaned);
  const ended = new Promise<string>((resolve) => {
    child.once("error", (error) => resolve(`could not start (${error.message})`));
    child.once("exit", (code, signal) =>
      resolve(signal === null ? `ended with exit code ${code}` : `ended by ${signal}`),
    );
  });
  void ended.then(() => process.off("exit", orphaned));
  return { name, ended, end: (withinMs) => endPolitely(child, ended, withinMs) };
}

async function endPolitely(child: ChildProcess, ended: Promise<string>, withinMs: number): Promise<void> {
  child.kill("SIGTERM");
  const timer = setTimeout(() => child.kill("SIGKILL"), withinMs);
  await ended;
  clearTimeout(timer);
}
