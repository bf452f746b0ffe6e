import { readFileSync } from "node:fs";
import type { Handwritten } from "./handwritten.ts";
import { pause } from "./pause.ts";

/** Where the form is, and who is known there: a terminal that the shift shares, and the PINs of the people at it. */
export interface FormDoor {
  readonly url: string;
  readonly account: string;
  readonly password: string;
  readonly pins: ReadonlyMap<string, string>;
}

const againMs = 5_000;
const lookEveryMs = 1_000;

/** Lines of `ACCOUNT REST`: the words after the first blank may have blanks of their own. */
export function secretsOf(file: string): ReadonlyMap<string, string> {
  const lines = readFileSync(file, "utf8").split("\n");
  return new Map(
    lines.flatMap((line) => {
      const [, account, secret] = /^(\S+) (.+)$/.exec(line.trim()) ?? [];
      return account === undefined || secret === undefined ? [] : [[account, secret] as const];
    }),
  );
}

/**
 * Writes down what people measured, as the form does: at a terminal that they share each entry names its person, with their
 * PIN. It waits until it was taken, tries again while nobody answers, and says what is refused. What was written before is
 * known there by its time: after a restart the same is written once.
 */
export async function writeByForm(
  door: FormDoor,
  taken: (fromMs: number, toMs: number) => readonly Handwritten[],
  fromMs: number,
  toMs: number,
  say: (words: string) => void,
  stop: AbortSignal,
): Promise<number> {
  const terminal = terminalAt(door, stop);
  let [reachedMs, written] = [fromMs, 0];
  while (!stop.aborted && reachedMs < toMs) {
    const untilMs = Math.min(toMs, Date.now());
    for (const one of taken(reachedMs, untilMs)) {
      const answer = await terminal.write(one, say);
      if (answer === "stopped") return written;
      if (answer === "written") written += 1;
    }
    reachedMs = Math.max(reachedMs, untilMs);
    await pause(lookEveryMs, stop);
  }
  return written;
}

function terminalAt({ url, account, password, pins }: FormDoor, stop: AbortSignal) {
  let cookie: string | null = null;
  const post = (path: string, body: object): Promise<Response> =>
    fetch(new URL(path, url), {
      method: "POST",
      headers: { "content-type": "application/json", ...(cookie === null ? {} : { cookie }) },
      body: JSON.stringify(body),
      signal: AbortSignal.any([stop, AbortSignal.timeout(30_000)]),
    });
  const signIn = async (): Promise<Response> => {
    const answer = await post("/api/session", { account, password, shared: true });
    cookie = answer.headers.getSetCookie()[0]?.split(";")[0] ?? null;
    return answer;
  };
  const tryOnce = async ({ station, by, takenMs, feature, unit, values }: Handwritten): Promise<Response> => {
    if (cookie === null) {
      const answer = await signIn();
      if (!answer.ok) return answer;
    }
    const takenAt = new Date(takenMs).toISOString();
    const body = { station, by, pin: pins.get(by) ?? "", takenAt, values: [{ feature, unit, values }] };
    return post("/api/by-hand", body);
  };
  return {
    write: async (one: Handwritten, say: (words: string) => void): Promise<"written" | "refused" | "stopped"> => {
      for (let said = false; !stop.aborted; ) {
        const answer = await tryOnce(one).catch((error: unknown) => error as Error);
        if (!(answer instanceof Error) && answer.ok) return "written";
        const status = answer instanceof Error ? null : answer.status;
        // A session that ended: sign in again. Too many at once, or nobody there: later.
        if (status === 401 && cookie !== null) {
          cookie = null;
          continue;
        }
        const words = answer instanceof Error ? answer.message : await answer.text();
        const later = status === null || status === 429 || status >= 500;
        if (!later || !said)
          say(`${one.station} ${one.feature} is not written down: ${status ?? ""} ${words}`.slice(0, 400));
        if (!later) return "refused";
        said = true;
        await pause(againMs, stop);
      }
      return "stopped";
    },
  };
}
