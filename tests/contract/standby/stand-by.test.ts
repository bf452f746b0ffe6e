import { readdirSync } from "node:fs";
import { pino } from "pino";
import { afterEach, beforeEach, expect, test } from "vitest";
import { systemClock } from "../../../collector/platform/clock.ts";
import { readEnvironment } from "../../../collector/platform/environment.ts";
import type { Lease } from "../../../collector/standby/lease.ts";
import { standBy } from "../../../collector/standby/stand-by.ts";
import { awaitLease } from "../../../collector/start.ts";
import { openDataFolder } from "../../../collector/store/embedded/open-data-folder.ts";
import { eventually } from "../../eventually.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { site } from "../pipeline/press-line.ts";
import { places } from "../store/incoming.ts";

let folder: ReturnType<typeof temporaryFolder>;
const ends: (() => void)[] = [];
beforeEach(() => {
  folder = temporaryFolder();
});
afterEach(() => {
  for (const end of ends.splice(0).reverse()) end();
  folder.remove();
});

interface Waiting {
  readonly turn: Promise<Lease | null>;
  readonly stop: AbortController;
  said(words: string): boolean;
}

function collector(name: string): Waiting {
  const lines: string[] = [];
  const log = pino({ level: "info" }, { write: (line) => void lines.push(line) });
  const stop = new AbortController();
  ends.push(() => stop.abort());
  const parts = { folder: folder.path, name, clock: systemClock, log, signal: stop.signal };
  return { turn: standBy(parts), stop, said: (words) => lines.some((line) => line.includes(words)) };
}

/** Takes the line as a collector does, and ends with the test. */
function holds(fence: Lease | null): () => void {
  if (fence === null) throw new Error("it did not get the line");
  const data = openDataFolder(folder.path, places, { fence });
  fence.begin();
  const end = (): void => {
    data.close();
    fence.close();
  };
  return end;
}

test("one holds the line, one stands by, a third waits for its place, and each goes up when the one before it ends", async () => {
  const a = collector("a");
  const first = await a.turn;
  const endFirst = holds(first);
  const b = collector("b");
  await eventually("b stands by", () => b.said("stands by"));
  await eventually("a knows of it", () => first?.status().aloneSinceMs === null);
  const c = collector("c");
  await eventually("c waits", () => c.said("waiting for its place"));
  expect(() => openDataFolder(folder.path, places)).toThrow(expect.objectContaining({ code: "data-folder-in-use" }));

  endFirst();
  const second = await b.turn;
  const endSecond = holds(second);
  expect(second?.status()).toMatchObject({ active: "b", epoch: 2 });
  await eventually("c stands by", () => c.said("stands by"));
  c.stop.abort();
  expect(await c.turn).toBeNull();
  await eventually("b knows that it is alone", () => second?.status().aloneSinceMs !== null);
  endSecond();
  expect(readdirSync(folder.path).filter((name) => /^collector-\d+/.test(name))).toEqual(["collector-2.lock"]);
  // Nobody shares it any more: whoever is alone may have it, and a pair goes on counting after it.
  openDataFolder(folder.path, places).close();
  const again = await collector("a").turn;
  expect(again?.epoch).toBe(3);
  again?.close();
});

test("our own broker ends with its collector, so a pair without an outside one is refused", async () => {
  const environment = readEnvironment({
    ...{ STEADYPOUR_STANDBY: "a", STEADYPOUR_ROLES: "collector", STEADYPOUR_DATA: folder.path },
  });
  const parts = { site, environment, log: pino({ level: "silent" }) };
  await expect(awaitLease(parts, new AbortController().signal)).rejects.toThrow(
    expect.objectContaining({ code: "environment-invalid" }),
  );
  expect(await awaitLease({ ...parts, environment: readEnvironment({}) }, new AbortController().signal)).toBeNull();
});

test("a collector that is alone keeps those of a pair out", async () => {
  const alone = openDataFolder(folder.path, places);
  await expect(collector("a").turn).rejects.toThrow(expect.objectContaining({ code: "data-folder-in-use" }));
  alone.close();
});

test("a holder that finds a higher epoch at its next beat is told without having written", async () => {
  const first = await collector("a").turn;
  const end = holds(first);
  const higher = { epoch: 9, holder: "{}", overtaken: () => undefined };
  const other = openDataFolder(folder.path, places, { fence: higher });
  await expect(first?.lost).rejects.toThrow(expect.objectContaining({ code: "lease-lost", retryable: false }));
  expect(() => first?.check()).toThrow(expect.objectContaining({ code: "lease-lost" }));
  expect(end).toThrow(expect.objectContaining({ code: "lease-lost" }));
  first?.close();
  other.close();
});
