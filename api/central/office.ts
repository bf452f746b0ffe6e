import type { Clock } from "../../collector/platform/clock.ts";
import type { Environment } from "../../collector/platform/environment.ts";
import { Fault } from "../../collector/platform/fault.ts";
import type { Log } from "../../collector/platform/log.ts";
import type { Product } from "../product.ts";
import { lineMarks, linesIn } from "./central-site.ts";

const LOOK_MS = 2_000;

/**
 * A product over several lines, which begins anew behind the same address when a line came or the settings of one
 * changed. A line that is away, or that cannot be shown beside the others, changes nothing.
 */
export async function startOffice(parts: {
  readonly environment: Environment;
  readonly folder: string;
  start(environment: Environment): Promise<Product>;
  readonly clock: Clock;
  readonly log: Log;
}): Promise<Product> {
  const { folder, start, clock, log } = parts;
  const marks = lineMarks(folder);
  let shown = marks();
  let product = await start(parts.environment);
  const { url, firstLink } = product;
  // Port 0 is any free one: pages that are open must find the next beginning behind the same one.
  const http = { ...parts.environment.http, port: Number(new URL(url ?? "").port) };
  const environment = { ...parts.environment, http };
  const stopping = new AbortController();

  const goOn = async (fail: (error: unknown) => void): Promise<void> => {
    while (!stopping.signal.aborted) {
      product.ended.catch(fail);
      const others = await untilOthers({ folder, marks, shown, clock, log, signal: stopping.signal });
      if (others === null) return;
      log.info({ lines: [...others.keys()] }, "lines came, or their settings changed: all are shown anew");
      shown = others;
      await product.stop();
      product = await start(environment);
    }
  };
  const { promise: ended, reject: fail } = withReject();
  const going = goOn(fail).catch(fail);
  const stop = async (): Promise<void> => {
    stopping.abort();
    await going;
    await product.stop();
  };
  return { url, firstLink, ended, stop };
}

function withReject(): { readonly promise: Promise<void>; readonly reject: (error: unknown) => void } {
  let reject: (error: unknown) => void = () => {};
  const promise = new Promise<void>((_, no) => {
    reject = no;
  });
  return { promise, reject };
}

/** Marks by line, once they are not those shown, stay so for two looks, and can be shown; null when it is stopped. */
async function untilOthers(parts: {
  readonly folder: string;
  readonly marks: () => ReadonlyMap<string, string>;
  readonly shown: ReadonlyMap<string, string>;
  readonly clock: Clock;
  readonly log: Log;
  readonly signal: AbortSignal;
}): Promise<ReadonlyMap<string, string> | null> {
  const { folder, marks, shown, clock, log, signal } = parts;
  let last = "";
  let told = "";
  while (!signal.aborted) {
    // Rejects when we are stopped, and the loop's condition ends it.
    await clock.sleep(LOOK_MS, signal).catch(() => undefined);
    const now = marksOr(marks, shown);
    const words = JSON.stringify([...now]);
    const settled = words === last;
    last = words;
    if (!settled || words === told || [...now].every(([line, mark]) => shown.get(line) === mark)) continue;
    try {
      linesIn(folder);
      return now;
    } catch (error) {
      if (!(error instanceof Fault)) throw error;
      told = words;
      log.error({ code: error.code, err: error }, "lines came or changed that cannot be shown; what is shown stays");
    }
  }
  return null;
}

function marksOr(
  marks: () => ReadonlyMap<string, string>,
  otherwise: ReadonlyMap<string, string>,
): ReadonlyMap<string, string> {
  try {
    return marks();
  } catch (error) {
    // The folder may be one of another machine that is cut off: then nothing changed.
    if (error instanceof Fault) return otherwise;
    throw error;
  }
}
