import { setTimeout as sleep } from "node:timers/promises";
import { Fault } from "../../collector/platform/fault.ts";
import type { Site } from "../../collector/platform/settings/site.ts";
import type { Sample } from "../../spc/model/sample.ts";
import type { SourceSamples, TakenIn } from "./import-target.ts";

/** Readings in one body: a body has at most 1 MiB, and a long series id makes 200 bytes of a reading. */
const READINGS_A_BODY = 4_000;
/** A product that is busy, starting or without its disk is asked again for this long. */
const PATIENCE_MS = 120_000;
const MOST_WAIT_MS = 10_000;

/** Hands readings to a running product, body by body, each answered once it is on disk. */
export function postReadings(url: URL, site: Site, token: string | null): (group: SourceSamples) => Promise<TakenIn> {
  const series = new Map(site.stations.flatMap((one) => Object.values(one.series)).map((one) => [one.id, one]));
  return async ({ source, samples }) => {
    const sum = { stored: 0, duplicate: 0 };
    const post = async (body: unknown): Promise<void> => {
      const { stored, duplicate } = await posted(url, JSON.stringify(body), token);
      sum.stored += stored;
      sum.duplicate += duplicate;
    };
    const isEvent = (sample: Sample): boolean => series.get(sample.series)?.kind === "event";
    const readings = samples
      .filter((sample) => !isEvent(sample))
      .map(({ series: id, tMs, value, quality }) => ({
        series: id,
        t: tMs,
        value,
        quality,
        unit: series.get(id)!.unit,
      }));
    for (let from = 0; from < readings.length; from += READINGS_A_BODY) {
      await post({ v: 1, kind: "readings", source, readings: readings.slice(from, from + READINGS_A_BODY) });
    }
    for (const { series: id, tMs, value } of samples.filter(isEvent)) {
      await post({ v: 1, kind: "event", source, series: id, t: tMs, value });
    }
    return sum;
  };
}

async function posted(url: URL, body: string, token: string | null): Promise<TakenIn> {
  const untilMs = performance.now() + PATIENCE_MS;
  for (let waitMs = 250; ; waitMs = Math.min(2 * waitMs, MOST_WAIT_MS)) {
    const { answer, said } = await asked(url, body, token);
    if (answer !== null) return answer;
    if (performance.now() > untilMs) throw new Fault("product-refused", said, { retryable: true });
    await sleep(waitMs);
  }
}

/** The answer; null with what was said where it pays to ask again. */
async function asked(
  url: URL,
  body: string,
  token: string | null,
): Promise<{ readonly answer: TakenIn | null; readonly said: string }> {
  let response: Response;
  try {
    const proof = token === null ? {} : { authorization: `Bearer ${token}` };
    const headers = { "content-type": "application/json", ...proof };
    response = await fetch(new URL("/api/readings", url), { method: "POST", body, headers });
  } catch (error) {
    const cause = error instanceof Error && error.cause instanceof Error ? error.cause.message : String(error);
    return { answer: null, said: `${url.origin} does not answer: ${cause}` };
  }
  const text = await response.text();
  if (response.status === 200) return { answer: JSON.parse(text) as TakenIn, said: "" };
  const said = `${url.origin} answered ${response.status}: ${text.slice(0, 500)}`;
  if (response.status !== 503) throw new Fault("product-refused", said, { retryable: false });
  return { answer: null, said };
}
