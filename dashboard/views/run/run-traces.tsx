import { useSignal } from "@preact/signals";
import type { JSX } from "preact";
import { useMemo } from "preact/hooks";
import type { WireRunSheet } from "../../../api/contract/wire.ts";
import { phoneWidth, windowSize } from "../../client/window-size.ts";
import { SegmentsMark, TimeAxisMark, TraceMark, traceMargin } from "../../marks/trace-panels.tsx";
import { plural } from "../../model/numbers.ts";
import { runPanels, snapshotPanels } from "../../model/run-sheet.ts";
import { siteTimes } from "../../model/times.ts";

const fewPanels = 5;
const leastColumn = 200;

export function RunTraces({ sheet, zone }: { readonly sheet: WireRunSheet; readonly zone: string }): JSX.Element {
  const more = useSignal(false);
  const { width, height } = windowSize.value;
  const phone = width < phoneWidth;
  // A window that is just being made may have no width yet.
  const column = Math.max(leastColumn, phone ? width - 24 : Math.floor((width - 48) * 0.66));
  const count = Math.min(fewPanels, sheet.traces.filter((trace) => trace.kind !== "event").length);
  const panelHeight = phone ? 130 : Math.min(count < 3 ? 320 : 210, Math.max(112, (height - 330) / Math.max(1, count)));
  const panels = useMemo(() => runPanels(sheet, column - traceMargin, panelHeight), [sheet, column, panelHeight]);
  const snapshots = useMemo(() => snapshotPanels(sheet, column - traceMargin), [sheet, column]);
  const shown = more.value ? panels.panels : panels.panels.slice(0, fewPanels);
  const hidden = panels.panels.length - shown.length;
  const times = siteTimes(zone);
  if (panels.panels.length === 0 && snapshots.length === 0) {
    return <p class="note">Events alone tell of a {sheet.run.runWord} here: there is no trace to draw.</p>;
  }
  return (
    <>
      {panels.segments.length === 0 ? null : <SegmentsMark panels={panels} />}
      {shown.map((panel) => (
        <TraceMark key={panel.series} panel={panel} panels={panels} />
      ))}
      <TimeAxisMark panels={panels} />
      <p class="legend">
        <span class="key now" /> this {sheet.run.runWord}{" "}
        {panels.before === 0 ? null : (
          <>
            <span class="key before" /> the {panels.before} {plural(sheet.run.runWord)} before it
          </>
        )}
        {panels.panels.some((panel) => panel.thinned) ? " · thinned to what the screen can show, extremes kept" : ""}
      </p>
      {hidden > 0 || more.value ? (
        <button type="button" class="plain small" onClick={() => (more.value = !more.value)}>
          {more.value ? "Show fewer traces" : `Show ${hidden} more ${hidden === 1 ? "trace" : "traces"}`}
        </button>
      ) : null}
      <p class="segment-list light">
        {sheet.run.segments
          .map((one) => `${one.name.replaceAll("-", " ")} ${times.clock(Date.parse(one.from))}`)
          .join(" · ")}
      </p>
      {snapshots.map((snapshot) => (
        <section key={snapshot.series} class="snapshot">
          <h2>
            {snapshot.name} <span class="light">{times.clock(snapshot.at)}</span>
          </h2>
          <TraceMark panel={snapshot.panel} panels={snapshot.panels} />
          <TimeAxisMark panels={snapshot.panels} />
        </section>
      ))}
    </>
  );
}
