import type { RunRecord } from "../../spc/model/journal-entry.ts";
import type { RunRow } from "./import-row.ts";

/** Puts the lines of each run together as they come; they must stand next to one another, so that any file fits. */
export interface RowGroups {
  /** The run before, when this line begins another; or what is wrong with the line. */
  add(row: RunRow): { readonly finished?: RunRecord; readonly mistake?: string };
  /** The last run. */
  end(): RunRecord | undefined;
}

export function rowGroups(): RowGroups {
  const firstLine = new Map<string, number>();
  let open: RunRow[] = [];

  const finished = (): RunRecord | undefined =>
    open[0] === undefined ? undefined : { run: open[0].run, imported: true, features: open.map((row) => row.feature) };

  return {
    add: (row) => {
      const { id } = row.run;
      const first = open[0];
      if (first?.run.id === id) {
        const mistake = contradiction(open, row);
        if (mistake === undefined) open.push(row);
        return mistake === undefined ? {} : { mistake };
      }
      const before = firstLine.get(id);
      if (before !== undefined) {
        const expected = "all lines of a run next to one another";
        return { mistake: `${row.line}:1: found more of the run of line ${before}, expected ${expected}` };
      }
      firstLine.set(id, row.line);
      const done = finished();
      open = [row];
      return done === undefined ? {} : { finished: done };
    },
    end: () => {
      const done = finished();
      open = [];
      return done;
    },
  };
}

/** Lines of one station and start are one run: they must agree on it and each bring another feature. */
function contradiction(open: readonly RunRow[], row: RunRow): string | undefined {
  const first = open[0]!;
  const told = (what: string): string => `${row.line}:1: ${what}, expected what line ${first.line} says of the run`;
  if (row.run.endMs !== first.run.endMs) return told("found another end");
  const [part, was] = [row.run.context["part"], first.run.context["part"]];
  if (part !== was) return told("found another part");
  if (row.run.context["recordedAs"] !== first.run.context["recordedAs"]) {
    return told(`found the run ${row.run.context["recordedAs"] ?? "without a name"} at the same station and start`);
  }
  const twice = open.find(({ feature }) => feature.feature === row.feature.feature);
  if (twice === undefined) return undefined;
  return `${row.line}:1: found ${row.feature.feature} again, expected each feature once in a run (line ${twice.line})`;
}
