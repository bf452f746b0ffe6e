import { monitorEventLoopDelay } from "node:perf_hooks";
import { Counter, Gauge, Registry } from "prom-client";
import type { PairStatus } from "../collector/start.ts";
import type { Counts } from "../collector/store/sample-store.ts";
import { labelOrder } from "../spc/model/signal.ts";
import type { ApiParts } from "./parts.ts";

const readingWords: Readonly<Record<keyof Counts, string>> = {
  received: "Readings, waveforms and events that arrived, repeats included",
  acknowledged: "Readings, waveforms and events whose message may be acknowledged since its commit",
  stored: "Readings, waveforms and events kept once",
  duplicate: "Readings, waveforms and events that were there already",
  quarantined: "Readings, waveforms and events refused at the door",
  late: "Readings, waveforms and events of those kept that were late and enter no run",
};

/** Our metrics, read afresh at each scrape. A registry of its own, so that two apps in a process do not mix. */
export function metricsOf(parts: ApiParts): Registry {
  const registry = new Registry();
  for (const [name, help] of Object.entries(readingWords)) {
    counter(registry, `readings_${name}_total`, help, () => parts.samples.counts()[name as keyof Counts]);
  }
  gauge(registry, "readings_bytes", "What readings take on the disk", () => parts.samples.usedBytes());
  gauge(
    registry,
    "disk_budget_bytes",
    "What readings may take on the disk; +Inf for no bound",
    () => parts.site.diskBudgetBytes ?? Number.POSITIVE_INFINITY,
  );
  counter(
    registry,
    "readings_let_go_total",
    "Readings past their time or the disk budget that were let go since the process began",
    () => parts.process.letGo(),
  );
  counter(registry, "runs_total", "Runs in the journal, imported ones included", () => parts.model.totals().runs);
  counter(registry, "points_total", "Streamed points in the journal", () => parts.model.totals().points);
  counter(registry, "signals_total", "Signals in the journal", () => parts.model.totals().signals);
  flagsOpen(registry, parts);
  gauge(registry, "collector_heard", "1 while a collector is there that takes readings and judges them", () =>
    Number(parts.process.source().collector),
  );
  gauge(registry, "source_connected", "1 while messages can arrive", () => Number(parts.process.source().connected));
  gauge(
    registry,
    "source_unacknowledged",
    "Messages taken in whose commit is still awaited",
    () => parts.process.source().unacknowledged,
  );
  counter(
    registry,
    "source_reconnects_total",
    "Times the source had to connect anew",
    () => parts.process.source().reconnects,
  );
  counter(
    registry,
    "unconfirmed_messages_total",
    "Messages that came at QoS 0 since the process began: nothing can tell whether others were lost",
    () => parts.process.unconfirmed(),
  );
  sessionCounters(registry, parts);
  pairGauges(registry, parts);
  bySource(registry, "sequence_missing", "Numbers of a source's counter that never came, by source", () =>
    parts.samples.sequenceGaps(),
  );
  bySource(
    registry,
    "source_clock_offset_seconds",
    "By how much a source's clock is ahead of ours, where it is known, by source",
    () => new Map([...parts.process.clockOffsetsMs()].map(([source, ms]) => [source, ms / 1000])),
  );
  pipelineLag(registry, parts);
  longTermMetrics(registry, parts.process.longTerm);
  gauge(registry, "live_clients", "Pages that hold a live connection", () => parts.process.liveClients());
  gauge(registry, "resident_memory_bytes", "Memory of this process", () => process.memoryUsage.rss());
  gauge(registry, "uptime_seconds", "Time since this process began", () => process.uptime());
  eventLoop(registry);
  return registry;
}

function counter(registry: Registry, name: string, help: string, total: () => number): void {
  new Counter({
    name: `steadypour_${name}`,
    help,
    registers: [registry],
    // The count is kept elsewhere: in the data folder, or by the part that counts.
    collect() {
      this.reset();
      this.inc(total());
    },
  });
}

function gauge(registry: Registry, name: string, help: string, value: () => number): void {
  new Gauge({
    name: `steadypour_${name}`,
    help,
    registers: [registry],
    collect() {
      this.set(value());
    },
  });
}

/** There is nothing to count with the embedded broker, and of drops only what the broker says. */
function sessionCounters(registry: Registry, { process }: ApiParts): void {
  const news = (): ReturnType<typeof process.source>["broker"] => process.source().broker;
  const one = (name: string, help: string, total: () => number): void => counter(registry, name, help, total);
  one(
    "broker_sessions_lost_total",
    "Times an outside broker no longer had our session",
    () => news()?.sessionsLost.count ?? 0,
  );
  one(
    "broker_taken_over_total",
    "Times another client took our place at an outside broker, by its word or by all appearance",
    () => news()?.takenOver.count ?? 0,
  );
  one(
    "broker_dropped_total",
    "Messages that an outside broker says it dropped, of any of its clients",
    () => news()?.dropped?.count ?? 0,
  );
}

/** Nothing to tell where no collector is to stand by, and what is not known is no number. */
function pairGauges(registry: Registry, { process }: ApiParts): void {
  const one = (name: string, help: string, value: (pair: PairStatus) => number): void => {
    new Gauge({
      name: `steadypour_${name}`,
      help,
      labelNames: ["active"],
      registers: [registry],
      collect() {
        this.reset();
        const { pair } = process.source();
        if (pair !== null) this.set({ active: pair.active }, value(pair));
      },
    });
  };
  one("collector_standby", "1 while another collector stands by, beside the one named active", (pair) =>
    Number(pair.aloneSinceMs === null),
  );
  one("collector_epoch", "How often a collector took the line, first starts included", (pair) => pair.epoch);
}

/** None where readings are kept here alone. */
function longTermMetrics(registry: Registry, longTerm: ApiParts["process"]["longTerm"]): void {
  if (longTerm === null) return;
  const { status } = longTerm;
  const one = (name: string, help: string, value: () => number): void =>
    gauge(registry, `long_term_${name}`, help, value);
  one("working", "1 while readings go to the long-term store", () => Number(status().trouble === null));
  one("behind_readings", "Readings that have not gone to the long-term store yet", () => status().behindReadings);
  one(
    "behind_seconds",
    "Source time from the oldest of them to the newest reading of its series",
    () => status().behindSeconds,
  );
  const sum = (name: string, help: string, total: () => number): void =>
    counter(registry, `long_term_${name}_total`, help, total);
  sum("forwarded", "Readings that went to the long-term store since the process began", () => status().forwarded);
  sum("refused_lines", "Lines that the long-term store would not take", () => status().refusedLines);
  sum(
    "beyond_retention",
    "Lines older than the long-term store keeps since the process began",
    () => status().beyondRetention,
  );
  sum(
    "short_days",
    "Days of which the long-term store had fewer readings than we sent since the process began",
    () => status().shortDays,
  );
}

function bySource(registry: Registry, name: string, help: string, values: () => ReadonlyMap<string, number>): void {
  new Gauge({
    name: `steadypour_${name}`,
    help,
    labelNames: ["source"],
    registers: [registry],
    collect() {
      this.reset();
      for (const [source, value] of values()) this.set({ source }, value);
    },
  });
}

function flagsOpen(registry: Registry, { model }: ApiParts): void {
  new Gauge({
    name: "steadypour_flags_open",
    help: "Flags that nobody has closed, by label and state",
    labelNames: ["label", "state"],
    registers: [registry],
    collect() {
      for (const label of labelOrder) {
        for (const state of ["waiting", "taken"]) {
          const count = model.flags().filter((flag) => flag.label === label && flag.state === state).length;
          this.set({ label, state }, count);
        }
      }
    },
  });
}

function pipelineLag(registry: Registry, parts: ApiParts): void {
  new Gauge({
    name: "steadypour_pipeline_lag_seconds",
    help: "Source time by which cutting into runs lies behind the newest reading, by station",
    labelNames: ["station"],
    registers: [registry],
    collect() {
      this.reset();
      for (const [station, ms] of parts.process.lagMs()) this.set({ station }, ms / 1000);
    },
  });
}

function eventLoop(registry: Registry): void {
  const delay = monitorEventLoopDelay({ resolution: 20 });
  delay.enable();
  new Gauge({
    name: "steadypour_event_loop_delay_seconds",
    help: "How late the event loop ran since the scrape before, by quantile",
    labelNames: ["quantile"],
    registers: [registry],
    collect() {
      for (const quantile of [0.5, 0.99, 1]) {
        const seconds = delay.percentile(quantile * 100) / 1e9;
        this.set({ quantile: String(quantile) }, Number.isFinite(seconds) ? seconds : 0);
      }
      delay.reset();
    },
  });
}
