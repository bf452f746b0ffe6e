import { runsOfPoint } from "../../spc/model/characteristic.ts";
import type { PointRecord, StoredEntry } from "../../spc/model/journal-entry.ts";
import type { WireFlag, WirePoint } from "../contract/wire.ts";
import type { ChartedSet } from "./charted.ts";
import { type FlagBook, flagOf } from "./flag-book.ts";
import { wirePoint } from "./wire-characteristic.ts";

/** What journal entries mean to a page: new points, flags as they now stand, characteristics to be asked for anew. */
export function changesIn(
  entries: readonly StoredEntry[],
  set: ChartedSet,
  book: FlagBook,
): { points: WirePoint[]; flags: WireFlag[]; limits: string[] } {
  const points: PointRecord[] = [];
  const flags = new Set<string>();
  const limits = new Set<string>();
  for (const entry of entries) {
    if (entry.kind === "point") points.push(entry.body);
    else if (aboutLimits(entry)) limits.add(entry.body.characteristic);
    // Imported runs move the places of those before them; a run of a subgroup changes what waits for its point.
    else if (entry.kind === "run") {
      for (const { characteristic } of set.ofRun(entry.body)) {
        if (entry.body.imported || runsOfPoint(characteristic) > 1) limits.add(characteristic.id);
      }
    } else {
      const flag = flagOf(entry);
      if (flag !== null) flags.add(flag);
      if (entry.kind === "common") flags.add(entry.body.child);
    }
  }
  return {
    points: points.filter(({ characteristic }) => set.all.has(characteristic)).map((point) => wirePoint(point, book)),
    flags: [...flags].flatMap((id) => book.find(id) ?? []),
    limits: [...limits],
  };
}

/** Limits, and what leads to them: a page that shows either asks anew. */
function aboutLimits(
  entry: StoredEntry,
): entry is Extract<StoredEntry, { kind: "limits" | "proposed" | "agreed" | "withdrawn" }> {
  return ["limits", "proposed", "agreed", "withdrawn"].includes(entry.kind);
}
