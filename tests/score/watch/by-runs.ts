import { commonWatch } from "../../../collector/pipeline/common-watch.ts";
import type { Site } from "../../../collector/platform/settings/site.ts";
import { pointEntry, signalEntry } from "../../../collector/store/entries.ts";
import type { JournalEntry, RunRecord } from "../../../spc/model/journal-entry.ts";
import type { LimitSet } from "../../../spc/model/limit-set.ts";
import { chartedValue, chartOf } from "../../../spc/model/plotted-as.ts";
import { settingOf } from "../../../spc/model/run.ts";
import { characteristicMonitor, type MonitorInput } from "../../../spc/monitor/characteristic-monitor.ts";
import type { MonitorState } from "../../../spc/monitor/monitor-state.ts";
import { memoryJournal } from "../../fakes/memory-journal.ts";
import { type ShiftLead, shiftLead } from "./shift-lead.ts";

interface Watching {
  readonly monitor: ReturnType<typeof characteristicMonitor>;
  state: MonitorState;
}

/** Runs straight to charts, rules, flags and common causes: the product's own, without readings and without a store. */
export function watchRuns(
  site: Site,
  sets: ReadonlyMap<string, LimitSet>,
  runs: readonly RunRecord[],
): readonly JournalEntry[] {
  const journal = memoryJournal();
  const common = commonWatch(site, journal);
  const stations = new Map(site.stations.map((station) => [station.id, station]));
  const watching = new Map<string, Watching>();
  const lead: ShiftLead = shiftLead();
  const all: JournalEntry[] = [];

  const take = (entries: readonly JournalEntry[]): void => {
    for (const entry of entries) all.push(entry);
    const news = entries.filter(({ kind }) => kind === "signal" || kind === "done");
    if (news.length === 0) return;
    journal.append(news);
    const shared = common.look(news.at(-1)!.atMs);
    journal.append(shared);
    for (const entry of shared) all.push(entry);
    lead.hear([...news, ...shared]);
  };
  const feed = (station: string, one: Watching, input: MonitorInput, atMs: number): JournalEntry[] => {
    const { state, out } = one.monitor.step(one.state, input);
    one.state = state;
    return out.map((found) =>
      found.kind === "point" ? pointEntry(station, found.point) : signalEntry(found.signal, atMs),
    );
  };

  for (const record of runs) {
    const { run } = record;
    for (const done of lead.doneBy(run.endMs)) {
      if (done.kind !== "done") continue;
      const found = watching.get(lead.characteristicOf(done.body.flag) ?? "");
      take([
        done,
        ...(found === undefined ? [] : feed(done.station, found, { kind: "done", flag: done.body.flag }, done.atMs)),
      ]);
    }
    const station = stations.get(run.station)!;
    const found: JournalEntry[] = [
      { kind: "run", body: record, id: `run/${run.id}`, station: run.station, subject: run.id, atMs: run.endMs },
    ];
    for (const plan of station.plans) {
      if (plan.runKind !== (run.kind ?? null)) continue;
      const characteristic = plan.characteristic(chartOf(run, plan.by));
      const charted = chartedValue(record, characteristic);
      if (charted === undefined) continue;
      let one = watching.get(characteristic.id);
      if (one === undefined) {
        const monitor = characteristicMonitor(characteristic);
        one = { monitor, state: monitor.initial };
        watching.set(characteristic.id, one);
        const set = sets.get(characteristic.id);
        if (set !== undefined) feed(run.station, one, { kind: "limits", set }, run.endMs);
      }
      const { value, refusal } = charted;
      const input: MonitorInput = {
        kind: "point",
        ...{ run: run.id, atMs: run.endMs, value, setting: settingOf(run, characteristic.subgroup) },
        ...(refusal === undefined ? {} : { refusal }),
      };
      found.push(...feed(run.station, one, input, run.endMs));
    }
    take(found);
  }
  return all;
}
