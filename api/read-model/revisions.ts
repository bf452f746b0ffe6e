import { recomputeAskId } from "../../collector/store/entries.ts";
import type { Journal } from "../../collector/store/journal.ts";
import type { RunRecord, StoredEntry } from "../../spc/model/journal-entry.ts";
import type { WireRecompute } from "../contract/recompute-wire.ts";
import type { WireRunSheet } from "../contract/wire.ts";
import { instant } from "./wire-form.ts";

/** Asks of a station, or of all, newest first. */
export function recomputations(
  journal: Journal,
  { station, limit }: { readonly station?: string; readonly limit: number },
): readonly WireRecompute[] {
  return journal
    .read({ kinds: ["recompute-asked"], ...(station === undefined ? {} : { station }), newestFirst: true, limit })
    .flatMap((entry) => (entry.kind === "recompute-asked" ? [wireRecompute(journal, entry)] : []));
}

export function wireRecompute(
  journal: Journal,
  { id: entry, station, body }: Extract<StoredEntry, { kind: "recompute-asked" }>,
): WireRecompute {
  const id = recomputeAskId(entry);
  const { fromMs, toMs, by, atMs, reason } = body;
  const [result] = journal.read({ kinds: ["recomputed"], subject: id, limit: 1 });
  return {
    ...{ id, station, by, reason },
    from: instant(fromMs),
    to: instant(toMs),
    at: instant(atMs),
    result:
      result?.kind === "recomputed"
        ? {
            at: instant(result.body.atMs),
            runs: result.body.runs,
            revised: result.body.revised,
            gone: result.body.goneCount,
          }
        : null,
  };
}

/** What a run gave when it was reckoned anew, oldest first; the first revision is the run itself. */
export function revisionsOf(journal: Journal, { run }: RunRecord): WireRunSheet["revisions"] {
  return journal.read({ kinds: ["revised"], subject: run.id }).flatMap((entry) => {
    if (entry.kind !== "revised") return [];
    const { revision, ask, features, context, atMs } = entry.body;
    const asked = journal.find(`recompute-asked/${ask}`);
    const who = asked?.kind === "recompute-asked" ? asked.body : { by: "", reason: "" };
    return [
      {
        ...{ revision, by: who.by, reason: who.reason, at: instant(atMs) },
        features: features.map((one) => ({ ...one })),
        context: { ...context },
      },
    ];
  });
}

/** Asks that found readings of the run gone, newest first. */
export function readingsGone(journal: Journal, { run }: RunRecord): WireRunSheet["readingsGone"] {
  return journal
    .read({ kinds: ["recomputed"], station: run.station, newestFirst: true, limit: 100 })
    .flatMap((entry) =>
      entry.kind === "recomputed" && entry.body.gone.includes(run.id) ? [instant(entry.body.atMs)] : [],
    );
}
