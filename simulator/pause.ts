/** Waits, or until it shall stop. */
export function pause(ms: number, stop: AbortSignal): Promise<void> {
  return new Promise((go) => {
    if (stop.aborted) return go();
    const done = (): void => {
      clearTimeout(timer);
      stop.removeEventListener("abort", done);
      go();
    };
    const timer = setTimeout(done, ms);
    stop.addEventListener("abort", done);
  });
}
