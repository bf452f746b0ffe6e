import type { Characteristic } from "../../spc/model/characteristic.ts";
import type { JournalEntry, StoredEntry } from "../../spc/model/journal-entry.ts";
import { chartedValue, chartOf } from "../../spc/model/plotted-as.ts";
import { settingOf } from "../../spc/model/run.ts";
import { characteristicMonitor, type MonitorInput } from "../../spc/monitor/characteristic-monitor.ts";
import { handRuns } from "../../spc/monitor/hand-runs.ts";
import type { MonitorState } from "../../spc/monitor/monitor-state.ts";
import type { CharacteristicPlan, Site } from "../platform/settings/site.ts";
import { pointEntry, runEntry, signalEntry } from "../store/entries.ts";
import type { Journal } from "../store/journal.ts";
import { characteristicOfFlag } from "./decision-book.ts";

const checkpointName = "by-hand";
const kinds = ["written-down", "limits", "done"] as const;

type HandEntry = Extract<StoredEntry, { kind: (typeof kinds)[number] }>;
type Decision = Exclude<HandEntry, { kind: "written-down" }>;

/** Plain JSON: how far the journal was taken in, and by id what each chart remembers. */
interface HandState {
  readonly seq: number;
  readonly charts: Readonly<Record<string, HandChart>>;
}

interface HandChart {
  /** Station and feature, as the plan is found by, and the part as it was written. */
  readonly plan: string;
  readonly part: string | null;
  readonly monitor: MonitorState;
  /** Time of the newest value that entered the chart. */
  readonly newestMs: number | null;
}

/** Turns values written down by hand into runs, points and signals. */
export interface HandValues {
  /** Takes in what the journal gained and returns what came of it; called inside the transaction that keeps it. */
  advance(foundMs: number): readonly StoredEntry[];
}

/**
 * Values by hand have no readings behind them, so their charts follow from the journal alone: values, limits and closed
 * flags take effect in the order in which they were written. A value older than the newest of its chart is kept as a run
 * and enters no chart, as a late reading enters no run. After a transaction that failed it must be made anew.
 */
export function handValues(site: Site, journal: Journal, refused: (entry: string, why: string) => void): HandValues {
  const plans = handPlans(site);
  let state = (journal.checkpoint(checkpointName) as HandState | undefined) ?? { seq: 0, charts: {} };

  return {
    advance: (foundMs) => {
      const last = journal.lastSeq();
      if (plans.size === 0 || last === state.seq) return [];
      const read = journal.read({ kinds, afterSeq: state.seq }).filter(isHandEntry);
      const found = taking(foundMs);
      const charts = read.reduce<HandState["charts"]>(found.take, state.charts);
      const fresh = journal.append(found.entries);
      state = { seq: last, charts };
      if (read.length > 0) journal.saveCheckpoint(checkpointName, state);
      return fresh;
    },
  };

  function taking(foundMs: number) {
    const entries: JournalEntry[] = [];

    const feed = (chart: HandChart, one: Characteristic, input: MonitorInput): HandChart => {
      const { state: monitor, out } = characteristicMonitor(one).step(chart.monitor, input);
      for (const found of out) {
        const { station } = one;
        entries.push(found.kind === "point" ? pointEntry(station, found.point) : signalEntry(found.signal, foundMs));
      }
      return { ...chart, monitor };
    };

    const decide = (chart: HandChart, one: Characteristic, entry: Decision): HandChart => {
      if (entry.kind === "done") return feed(chart, one, { kind: "done", flag: entry.body.flag });
      try {
        return feed(chart, one, { kind: "limits", set: entry.body });
      } catch (error) {
        // Limits may come from before a change of settings: they must not stop the line.
        if (!(error instanceof RangeError)) throw error;
        refused(entry.id, error.message);
        return chart;
      }
    };

    /** A part's chart begins with its first value; limits agreed before that wait in the journal. */
    const begun = (plan: string, one: Characteristic, seq: number): HandChart => {
      const fresh = { plan, part: one.part, monitor: characteristicMonitor(one).initial, newestMs: null };
      return journal
        .read({ kinds: ["limits"], subject: one.id, beforeSeq: seq })
        .reduce<HandChart>((chart, entry) => (entry.kind === "limits" ? decide(chart, one, entry) : chart), fresh);
    };

    const take = (charts: HandState["charts"], entry: HandEntry): HandState["charts"] => {
      if (entry.kind !== "written-down") {
        const id = entry.kind === "limits" ? entry.body.characteristic : characteristicOfFlag(entry.body.flag);
        const chart = charts[id];
        const one = chart && plans.get(chart.plan)?.characteristic(chart.part);
        return one === undefined ? charts : { ...charts, [id]: decide(chart!, one, entry) };
      }
      // Of a feature that the settings no longer have: what was written stays in the journal.
      const plan = plans.get(entry.subject);
      const one = plan?.characteristic(chartOf(entry.body, plan.by));
      if (one === undefined) return charts;
      let chart = charts[one.id] ?? begun(entry.subject, one, entry.seq);
      for (const record of handRuns(entry.station, entry.body)) {
        const { run } = record;
        entries.push(runEntry(record));
        if (chart.newestMs !== null && run.endMs <= chart.newestMs) continue;
        const setting = settingOf(run, one);
        const { value, refusal } = chartedValue(record, one)!;
        const why = refusal === undefined ? {} : { refusal };
        const point = { kind: "point", run: run.id, atMs: run.endMs, value, setting, ...why } as const;
        chart = { ...feed(chart, one, point), newestMs: run.endMs };
      }
      return { ...charts, [one.id]: chart };
    };
    return { entries, take };
  }
}

/** By station and feature, which is what an entry by hand hangs on. */
function handPlans(site: Site): ReadonlyMap<string, CharacteristicPlan> {
  return new Map(
    site.stations.flatMap((station) =>
      station.plans
        .filter(({ byHand }) => byHand !== null)
        .map((plan) => [`${station.id}:${plan.feature}`, plan] as const),
    ),
  );
}

function isHandEntry(entry: StoredEntry): entry is HandEntry {
  return kinds.some((kind) => kind === entry.kind);
}
