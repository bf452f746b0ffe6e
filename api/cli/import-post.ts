import { setTimeout as sleep } from "node:timers/promises";
import { Fault } from "../../collector/platform/fault.ts";
import type { Site } from "../../collector/platform/settings/site.ts";
import type { Sample } from "../../spc/model/sample.ts";
import { noneTakenIn, type SourceSamples, type TakenIn, together } from "./taken-in.ts";

/** Readings in one body: a body has at most 1 MiB, and a long series id makes 200 bytes of a reading. */
const READINGS_A_BODY = 4_000;
/** A product that is busy, starting or without its disk is asked again for this long. */
const PATIENCE_MS = 120_000;
const MOST_WAIT_MS = 10_000;

/** Hands readings to a running product, body by body, each answered once it is on disk. */
export function postReadings(url: URL, site: Site, token: string | null): (group: SourceSamples) => Promise<TakenIn> {
  const series = new Map(site.stations.flatMap((one) => Object.values(one.series)).map((one) => [one.id, one]));
  return async ({ source, samples }) => {
    let sum = noneTakenIn;
    let held: Sample[] = [];
    const post = async (body: object): Promise<void> => {
      sum = together(sum, await posted(url, JSON.stringify({ v: 1, source, ...body }), token));
    };
    const postHeld = async (): Promise<void> => {
      const readings = held.map(({ series: id, tMs, value, quality }) => {
        return { series: id, t: tMs, value, quality, unit: series.get(id)!.unit };
      });
      held = [];
      if (readings.length > 0) await post({ kind: "readings", readings });
    };
    // In the order of time, and an event never long before readings that are older: one of the two would be late.
    for (const sample of [...samples].sort((a, b) => a.tMs - b.tMs)) {
      if (series.get(sample.series)?.kind !== "event") {
        if (held.push(sample) === READINGS_A_BODY) await postHeld();
        continue;
      }
      if (held[0] !== undefined && sample.tMs - held[0].tMs > site.latenessMs) await postHeld();
      await post({ kind: "event", series: sample.series, t: sample.tMs, value: sample.value });
    }
    await postHeld();
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
