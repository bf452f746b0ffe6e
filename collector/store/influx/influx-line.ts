import type { JournalEntry } from "../../../spc/model/journal-entry.ts";
import { sampleMark } from "../embedded/sample-mark.ts";
import type { StoredSample } from "../sample-store.ts";

/**
 * Readings as line protocol: measurement `reading`, tags `series` and `site`, fields `mark` (integer: 0 good, 1 uncertain,
 * 2 bad, 4 more when late; always there), `value` (float, left out where there is none) and, of an event, `attributes`
 * (JSON text). A field keeps its type for ever, and time and tags follow from the reading, so a line may be written twice.
 */
export interface LineWriter {
  reading(sample: StoredSample): string;
  /** One line for each feature of a run, at its end. */
  run(entry: Extract<JournalEntry, { kind: "run" }>): readonly RunLine[];
}

export interface RunLine {
  readonly characteristic: string;
  readonly tNs: bigint;
  readonly line: string;
}

export function lineWriter(site: string): LineWriter {
  const heads = new Map<string, string>();
  const headOf = (series: string): string => {
    const head = `reading,series=${tagValue(series)},site=${tagValue(site)} mark=`;
    heads.set(series, head);
    return head;
  };
  return {
    reading: ({ series, tMs, value, quality, late, attributes }) => {
      const head = heads.get(series) ?? headOf(series);
      let line = `${head}${sampleMark(quality, late)}i`;
      if (value !== null) line += `,value=${floatText(value)}`;
      if (attributes !== undefined) line += `,attributes=${textField(JSON.stringify(attributes))}`;
      return `${line} ${tMs}`;
    },
    run: ({ body: { run, imported, features } }) =>
      features.map(({ feature, version, value, refusal }) => {
        const characteristic = `${run.station}:${feature}`;
        const tNs = BigInt(run.endMs) * 1_000_000n + BigInt(placeInMs(run.id));
        const fields = [`run=${textField(run.id)}`, `version=${version}i`, `imported=${imported}`];
        if (value !== null) fields.push(`value=${floatText(value)}`);
        if (refusal !== undefined) fields.push(`refusal=${textField(refusal.code)}`);
        const tags = `characteristic=${tagValue(characteristic)},site=${tagValue(site)}`;
        return { characteristic, tNs, line: `run_value,${tags} ${fields.join(",")} ${tNs}` };
      }),
  };
}

/** What stands for a site in tags; letters of any alphabet would do, spaces and the like would need escapes everywhere. */
export function siteTag(name: string): string {
  return (
    name
      .toLowerCase()
      .replaceAll(/[^\p{L}\p{N}]+/gu, "-")
      .replaceAll(/^-|-$/g, "") || "site"
  );
}

/**
 * Several runs of a station may end in one millisecond, and what has equal tags and times is one point there: each is
 * put at a nanosecond of its own within it, which follows from its id (FNV-1a, 32 bits).
 */
function placeInMs(id: string): number {
  let hash = 0x811c9dc5;
  for (let i = 0; i < id.length; i += 1) hash = Math.imul(hash ^ id.charCodeAt(i), 0x01000193) >>> 0;
  return hash % 1_000_000;
}

/** Shortest text that gives the number back bit for bit; without a suffix it is a float to InfluxDB, whole or not. */
function floatText(value: number): string {
  if (!Number.isFinite(value)) throw new RangeError(`not a number that can be written: ${value}`);
  return Object.is(value, -0) ? "0" : String(value);
}

/** Line protocol has no escape for a line end, and whoever reads line by line takes it for one even between quotes: a space. */
function textField(text: string): string {
  return `"${text
    .replaceAll("\\", "\\\\")
    .replaceAll('"', '\\"')
    .replaceAll(/[\r\n]/g, " ")}"`;
}

/** A backslash at the end would swallow what separates it, and a line end the line; such a name is refused. */
export function tagValue(text: string): string {
  if (text === "" || /[\\\n\r]/.test(text)) throw new RangeError(`not a name for a tag: ${JSON.stringify(text)}`);
  return text.replaceAll(/[ ,=]/g, "\\$&");
}
