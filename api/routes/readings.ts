import type { Router } from "express";
import { endpoints } from "../contract/endpoints.ts";
import { defaultColumns, defaultLimit } from "../contract/query.ts";
import type { WireLongTerm, WireQuarantine, WireReading, WireTrend } from "../contract/wire.ts";
import { cursor, cursorFields, cursorNumber, page } from "../paging.ts";
import type { ApiParts } from "../parts.ts";
import { Problem } from "../problem.ts";
import { traced } from "../read-model/trace.ts";
import { instant, wirePair } from "../read-model/wire-form.ts";
import { serve } from "../serve.ts";

/** Of the lines that the long-term store would not take, so many of the newest. */
const shownRefused = 20;

/** What is kept of what arrived: readings, what was refused, and how many there were. */
export function readingRoutes(router: Router, { samples, readings, site, process }: ApiParts): void {
  const known = new Set(site.stations.flatMap(({ series }) => Object.values(series).map(({ id }) => id)));

  const mustKnow = (series: string): void => {
    if (!known.has(series) && samples.latest(series) === undefined) throw unknownSeries(series, site.stations);
  };

  serve(router, endpoints.counts, () => {
    const { broker, pair } = process.source();
    return {
      ...samples.counts(),
      sequenceGaps: Object.fromEntries(samples.sequenceGaps()),
      clockOffsets: Object.fromEntries([...process.clockOffsetsMs()].map(([source, ms]) => [source, ms / 1000])),
      broker:
        broker === null
          ? null
          : {
              sessionsLost: broker.sessionsLost.count,
              takenOver: broker.takenOver.count,
              dropped: broker.dropped?.count ?? null,
            },
      longTerm: process.longTerm === null ? null : wireLongTerm(process.longTerm),
      pair: pair === null ? null : wirePair(pair),
    };
  });

  serve(router, endpoints.readings, async ({ query }) => {
    const { series, limit = defaultLimit, from = Number.MIN_SAFE_INTEGER, to = Number.MAX_SAFE_INTEGER } = query;
    mustKnow(series);
    const after = query.after === undefined ? null : cursorFields(query.after, timeOf);
    const fromMs = after === null ? from : Math.max(from, after);
    const found = await readings.read({ series, fromMs, toMs: to }, { includeLate: true, limit: limit + 2 });
    // One reading a time and series: the one at the cursor itself has been shown.
    const fresh = after === null ? found : found.filter(({ tMs }) => tMs > after);
    const items = fresh.map((one): WireReading & { tMs: number } => {
      const { value, quality, late, tMs } = one;
      return { series, at: instant(tMs), value, quality, late, tMs };
    });
    const { items: shown, next } = page(items, limit, (last) => cursor(last.tMs));
    return { items: shown.map(({ tMs: _, ...reading }) => reading), next };
  });

  serve(
    router,
    endpoints.trend,
    async ({ query: { series, from, to, columns = defaultColumns } }): Promise<WireTrend> => {
      mustKnow(series);
      if (from >= to) {
        const errors = [{ place: "query/to", found: instant(to), expected: `an instant after from, ${instant(from)}` }];
        throw new Problem(400, "bad-request", "the span ends before it begins", { errors });
      }
      const found = await readings.trend({ series, fromMs: from, toMs: to }, columns);
      return {
        series,
        columns: found.map(({ fromMs, toMs, n, min, mean, max }) => {
          return { from: instant(fromMs), to: instant(toMs), readings: n, min, mean, max };
        }),
      };
    },
  );

  serve(router, endpoints.quarantine, ({ query: { limit = defaultLimit, after, order } }) => {
    const from = after === undefined ? {} : { afterId: cursorNumber(after) };
    const found = samples
      .quarantine({ ...from, limit: limit + 1, newestFirst: order === "newest-first" })
      .map(wireQuarantine);
    return page(found, limit, (last) => cursor(last.id));
  });
}

function wireLongTerm(longTerm: NonNullable<ApiParts["process"]["longTerm"]>): WireLongTerm {
  const { trouble, lastTrouble, upToDateMs, ...figures } = longTerm.status();
  return {
    ...figures,
    trouble: trouble === null ? null : { code: trouble.code, words: trouble.words, since: instant(trouble.sinceMs) },
    lastTrouble:
      lastTrouble === null ? null : { code: lastTrouble.code, words: lastTrouble.words, at: instant(lastTrouble.atMs) },
    upToDate: upToDateMs === null ? null : instant(upToDateMs),
    refused: longTerm
      .refused(shownRefused)
      .map(({ series, tMs, code, words }) => ({ series, at: instant(tMs), code, words })),
  };
}

function timeOf([tMs, ...rest]: unknown[]): number | undefined {
  return typeof tMs === "number" && Number.isFinite(tMs) && rest.length === 0 ? tMs : undefined;
}

function unknownSeries(series: string, stations: ApiParts["site"]["stations"]): Problem {
  const first = Object.values(stations[0]?.series ?? {}).flatMap(traced)[0]?.id;
  const expected = first === undefined ? "a series; the settings have none" : `a series such as ${first}`;
  const errors = [{ place: "query/series", found: JSON.stringify(series), expected }];
  throw new Problem(400, "unknown-series", `no series is named ${series}`, { errors });
}

function wireQuarantine(row: ReturnType<ApiParts["samples"]["quarantine"]>[number]): WireQuarantine {
  const { id, receivedMs, topic, size, code, place, detail } = row;
  const bytes = Buffer.from(row.bytes);
  return {
    id,
    receivedAt: instant(receivedMs),
    topic,
    bytes: bytes.toString("base64"),
    text: textOf(bytes),
    size,
    code,
    place,
    detail,
  };
}

/** The bytes as text where they are text; a character cut off at the end is no reason against it. */
function textOf(bytes: Buffer): string | null {
  const text = new TextDecoder("utf-8").decode(bytes, { stream: true });
  // biome-ignore lint/suspicious/noControlCharactersInRegex: that is what tells bytes from text
  return /[\u0000-\u0008\u000e-\u001f\ufffd]/.test(text) ? null : text;
}
