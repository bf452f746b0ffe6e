import type { Journal } from "../../collector/store/journal.ts";
import type { BenchSpan } from "./bench-points.ts";
import type { Charted } from "./charted.ts";
import type { FlagBook } from "./flag-book.ts";

/** Points drawn before the first that signalled: the longest pattern of a rule has 15, and a few show what was usual. */
const before = 30;
/** Drawn when the flag lies too far back to reach from it to the newest. */
const around = 240;
const most = 1_000;

/** The span that shows a flag's own points: the newest ones, reaching back far enough, else those around its first. */
export function spanOfFlag(journal: Journal, book: FlagBook, { characteristic }: Charted, id: string): BenchSpan {
  const flag = book.find(id);
  if (flag === undefined || flag.characteristic !== characteristic.id) return {};
  const firstMs = Date.parse(flag.first.at);
  const points = { kinds: ["point"], subject: characteristic.id, orderBy: "time" } as const;
  const earlier = journal.read({ ...points, toMs: firstMs, newestFirst: true, limit: before });
  const fromMs = Math.min(firstMs, ...earlier.map(timeOf));
  const since = journal.read({ ...points, fromMs, limit: most + 1 });
  // The usual span shows it already.
  if (since.length <= 120) return {};
  const last = since.length > most ? since[around - 1] : undefined;
  return last === undefined ? { fromMs } : { fromMs, toMs: timeOf(last) + 1 };
}

function timeOf(entry: ReturnType<Journal["read"]>[number]): number {
  return entry.kind === "point" ? entry.body.atMs : Number.POSITIVE_INFINITY;
}
