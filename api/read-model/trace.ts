import type { SiteSeries } from "../../collector/platform/settings/site.ts";
import type { ReadingPort } from "../../collector/store/reading-port.ts";
import type { Run } from "../../spc/model/run.ts";
import { type Columns, type Thinned, thin } from "./thin.ts";

/** What is drawn of one series; of a waveform, several reduced ones. */
export interface Traced {
  readonly id: string;
  readonly role: string;
  readonly of: SiteSeries;
  readonly reference: string | null;
}

/** Reduced series of a waveform that a run's page shows: what its features come from. */
const reduced = [
  { name: "rms", reference: "rms" },
  { name: "peak", reference: "peak" },
  { name: "hf", reference: "rms" },
] as const;

export function traced(series: SiteSeries): readonly Traced[] {
  if (series.kind !== "waveform") {
    return [{ id: series.id, role: series.role, of: series, reference: series.reference }];
  }
  return reduced.map(({ name, reference }) => ({
    id: `${series.id}.${name}`,
    role: `${series.role}.${name}`,
    of: series,
    reference,
  }));
}

/** Over so many expected spacings a line is drawn, and no further. */
const bridged = 3;

/** Columns of the run's own trace, and of the grey ones under it: about the pixels they are drawn on. */
export const traceColumns = 800;
export const underlayColumns = 150;

export interface Traces {
  /** Trace of a closed run, thinned, in milliseconds since its start. */
  of(run: Run, series: Pick<Traced, "id" | "of">, columns: number): Promise<Thinned>;
}

/** Traces of closed runs never change, so the newest asked for are kept. */
export function traceReader(readings: Pick<ReadingPort, "read">, keep = 3_000): Traces {
  const kept = new Map<string, Thinned>();
  return {
    of: async (run, series, columns) => {
      const key = `${run.id}|${series.id}|${columns}`;
      const known = kept.get(key);
      kept.delete(key);
      const trace = known ?? thin(await readTrace(readings, run, series), columns);
      kept.set(key, trace);
      const oldest = kept.size > keep ? kept.keys().next().value : undefined;
      if (oldest !== undefined) kept.delete(oldest);
      return trace;
    },
  };
}

async function readTrace(
  readings: Pick<ReadingPort, "read">,
  run: Run,
  { id, of }: Pick<Traced, "id" | "of">,
): Promise<Columns> {
  // The closing event stands at the run's end and is drawn with it.
  const found = await readings.read({ series: id, fromMs: run.startMs, toMs: run.endMs + 1 });
  const everyMs = of.kind === "event" ? null : (of.everyInRunMs ?? of.everyMs);
  const trace: Columns = { tMs: [], value: [] };
  let lastMs = Number.POSITIVE_INFINITY;
  for (const { tMs, quality, value } of found) {
    // What never came is a hole like what is bad: between two pours of a ladle nothing is sent.
    if (everyMs !== null && tMs - lastMs > bridged * everyMs) {
      trace.tMs.push(lastMs + everyMs - run.startMs);
      trace.value.push(null);
    }
    trace.tMs.push(tMs - run.startMs);
    trace.value.push(quality === "bad" ? null : value);
    lastMs = tMs;
  }
  return trace;
}
