import type { Run } from "../../spc/model/run.ts";
import type { SiteSeries, Station } from "../platform/settings/site.ts";

/** A stored series of a station, by the role that its segmenter and features know it by. */
export interface RoleSeries {
  readonly role: string;
  readonly series: string;
}

/**
 * Series that runs are cut from, in the order in which samples of one instant are taken: events first. Of a waveform
 * its level stands for all that it is reduced to: a run needs to know that the sensor speaks, not all that it says.
 */
export function cuttingSeries(station: Station): readonly RoleSeries[] {
  const all = Object.values(station.series);
  const ordered = [...all.filter((one) => one.kind === "event"), ...all.filter((one) => one.kind !== "event")];
  const roles = ordered.map((one) => (one.kind === "waveform" ? `${one.role}.rms` : one.role));
  const cutBy = [station.segmenter, ...station.moreRuns.map(({ segmenter }) => segmenter)].flatMap((one) =>
    one.by === "clock" || roles.includes(one.role) ? [] : one.role,
  );
  return [...new Set([...cutBy, ...roles])].map((name) => ofRole(station, name));
}

/** A role's series; a waveform's reduced ones are named alike: `CT-A1/vibration-z.rms`. A borrowed one is another station's. */
export function ofRole(station: Station, role: string, context: Run["context"] = {}): RoleSeries {
  return { role, series: seriesOfRole(station, role, context)?.id ?? `${station.id}/${role}` };
}

/** What the settings say of a role's series, where it is one of theirs as it stands. Which one is borrowed a run may tell. */
export function seriesOfRole(
  { series, borrowed }: Station,
  role: string,
  context: Run["context"],
): SiteSeries | undefined {
  if (Object.hasOwn(series, role)) return series[role];
  const lent = Object.hasOwn(borrowed, role) ? borrowed[role]! : null;
  if (lent === null) return undefined;
  const word = lent.by === null ? "" : (context[lent.by] ?? "");
  return Object.hasOwn(lent.from, word) ? lent.from[word] : undefined;
}

/** Expected spacing of a role's samples during a run, or null where none is promised. */
export function spacingInRun(station: Station, role: string, context: Run["context"] = {}): number | null {
  const series = seriesOfRole(station, role, context) ?? waveformBehind(station, role);
  return series === undefined ? null : (series.everyInRunMs ?? series.everyMs);
}

function waveformBehind(station: Station, role: string): SiteSeries | undefined {
  return Object.values(station.series).find((one) => one.kind === "waveform" && role.startsWith(`${one.role}.`));
}
