/**
 * Asks again and again until the answer is not undefined, null or false, and gives it back; fails with the last thing
 * seen when `withinMs` have gone by. For what another process does in its own time.
 */
export async function eventually<T>(
  what: string,
  question: () => T | Promise<T>,
  withinMs = 60_000,
  everyMs = 50,
): Promise<Exclude<T, undefined | null | false>> {
  const until = performance.now() + withinMs;
  let last: unknown;
  do {
    try {
      last = await question();
      if (last !== undefined && last !== null && last !== false) return last as Exclude<T, undefined | null | false>;
    } catch (error) {
      last = error;
    }
    await new Promise((resolve) => setTimeout(resolve, everyMs));
  } while (performance.now() < until);
  throw new Error(`${what}: not within ${withinMs / 1000} s; the last answer was ${String(last)}`, { cause: last });
}
