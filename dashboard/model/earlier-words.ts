import type { WireFlag } from "../../api/contract/wire.ts";
import { counted } from "./numbers.ts";
import type { SiteTimes } from "./times.ts";

export interface EarlierWords {
  /** `ladle cold 3 times, no cause found once`, the most frequent first; null where no flag was closed. */
  readonly causes: string | null;
  /** The newest few, one line each: when it began, what it was, and the cause it was closed with. */
  readonly lines: readonly { readonly flag: string; readonly text: string }[];
}

/** What the flags of a chart were closed with before: where to look first now. Newest first, as they are given. */
export function earlierWords(earlier: readonly WireFlag[], times: SiteTimes, now: number, most = 5): EarlierWords {
  const counts = new Map<string, number>();
  for (const { done } of earlier) if (done !== null) counts.set(done.cause, (counts.get(done.cause) ?? 0) + 1);
  const often = [...counts].toSorted(([, a], [, b]) => b - a);
  return {
    causes: often.length === 0 ? null : often.map(([cause, n]) => `${cause} ${howOften(n)}`).join(", "),
    lines: earlier.slice(0, most).flatMap(({ id, number, says, first, done }) =>
      done === null
        ? []
        : [
            {
              flag: id,
              text: `${times.near(Date.parse(first.at), now)}, flag ${number}: ${says}. Cause: ${done.cause}`,
            },
          ],
    ),
  };
}

function howOften(n: number): string {
  return n === 1 ? "once" : n === 2 ? "twice" : counted(n, "time");
}
