/** A signal that aborts at Ctrl-C or SIGTERM, or after a while. A second Ctrl-C ends the process as ever. */
export function untilStopped(afterMs: number | null): AbortSignal {
  const stop = new AbortController();
  for (const name of ["SIGINT", "SIGTERM"] as const) process.once(name, () => stop.abort());
  if (afterMs !== null) setTimeout(() => stop.abort(), afterMs).unref();
  return stop.signal;
}
