import { fileURLToPath } from "node:url";
import { memoryBus } from "../collector/platform/bus.ts";
import { systemClock } from "../collector/platform/clock.ts";
import type { Environment } from "../collector/platform/environment.ts";
import type { Log } from "../collector/platform/log.ts";
import { productVersion } from "../collector/platform/product-version.ts";
import type { Site } from "../collector/platform/settings/site.ts";
import { type CollectorStatus, type Lease, messageWords, serveSite, siteLongTerm } from "../collector/start.ts";
import { lockDataFolder } from "../collector/store/embedded/lock-data-folder.ts";
import type { ReadingFolder } from "../collector/store/embedded/open-data-folder.ts";
import { createApp } from "./app.ts";
import { withoutDecisions } from "./central/at-the-line.ts";
import { collectorHere, collectorOf } from "./collector-of.ts";
import { openHttpDoor } from "./http-door.ts";
import { liveStream } from "./live.ts";
import type { SourceFigures } from "./parts.ts";
import { openAccess } from "./people/access.ts";
import { makeLink } from "./people/links.ts";
import { prepareSecrets } from "./people/secrets.ts";
import { hostActor, seedAccounts } from "./people/seed-accounts.ts";
import type { Mistake } from "./problem.ts";
import { doorTroubles } from "./read-model/door-trouble.ts";
import { keepUp } from "./read-model/keep-up.ts";
import { readModel } from "./read-model/read-model.ts";
import { instant } from "./read-model/wire-form.ts";

export interface Product {
  /** Where the pages are; null for a collector alone. */
  readonly url: string | null;
  /** Where the first administrator chooses a password; null where there is one. */
  readonly firstLink: string | null;
  /** Rejects when the pipeline meets a defect: the process should end then, and begin again from its checkpoints. */
  readonly ended: Promise<void>;
  stop(): Promise<void>;
}

/** Makes the parts and starts them. Rejects with a Fault when one cannot start; what was opened is closed again then. */
export async function startProduct(
  environment: Environment,
  site: Site,
  log: Log,
  settingsDigest: string | null,
  lease: Lease | null = null,
): Promise<Product> {
  const opened: (() => void | Promise<void>)[] = [];
  const stop = async (): Promise<void> => {
    // Last opened, first closed.
    for (const end of opened.splice(0).reverse()) await end();
  };
  try {
    const product = await openParts({ environment, site, log, settingsDigest, lease }, opened);
    return { ...product, stop };
  } catch (error) {
    await stop();
    throw error;
  }
}

async function openParts(
  given: {
    readonly environment: Environment;
    readonly site: Site;
    readonly log: Log;
    readonly settingsDigest: string | null;
    readonly lease: Lease | null;
  },
  opened: (() => void | Promise<void>)[],
): Promise<Omit<Product, "stop">> {
  const { environment, log, settingsDigest, lease } = given;
  if (lease !== null) opened.push(lease.close);
  const bus = memoryBus();
  const clock = systemClock;
  const report = (err: unknown, words: string): void => log.error({ err }, words);
  if (!environment.roles.api) {
    const parts = {
      environment,
      site: given.site,
      log,
      bus,
      clock,
      lease,
      longTerm: siteLongTerm(given.site, environment),
    };
    const { data, start } = collectorHere(parts);
    opened.push(data.close);
    const collector = await start();
    opened.push(collector.stop, serveSite(collector, parts).stop);
    lease?.begin();
    const ended = lease === null ? collector.ended : Promise.race([collector.ended, lease.lost]);
    return { url: null, firstLink: null, ended };
  }
  // The port first: where it is taken, not even a folder is made.
  const door = await openHttpDoor(environment);
  opened.push(door.close);
  if (!door.phones) {
    log.warn(
      { http: door.url },
      "plain HTTP: names and PINs can be read on the way, and no phone can be set up for messages; " +
        "STEADYPOUR_TLS_CERT and STEADYPOUR_TLS_KEY give it TLS",
    );
  }
  const longTerm = siteLongTerm(given.site, environment);
  const parts = { environment, site: given.site, log, bus, clock, longTerm, lease };
  const { data, start, site } = collectorOf(parts);
  opened.push(data.close);
  opened.push(lockDataFolder(environment.dataFolder, "api"));
  const { samples, journal } = data;
  const model = readModel(site, journal);
  await model.load();
  const collector = await start();
  opened.push(collector.stop);
  const { freshness, ended } = collector;
  const keeping = keepUp({ model, journal, bus, clock, report });
  opened.push(keeping.stop);
  const troubles = (): ReturnType<typeof doorTroubles> => doorTroubles(sourceOf(collector.status()), clock.nowMs());
  const central = environment.lines !== null;
  const opens = openAccess({
    ...{ people: data.people, record: data.record, devices: data.messages },
    hosts: site.doors.hosts,
    openReading: site.doors.openReading ?? door.loopback,
    openSending: site.doors.openSending ?? door.loopback,
    report: (level, about, words) => log[level](about, words),
  });
  const access = central ? withoutDecisions(opens) : opens;
  seedAccounts(data, site.persons, clock.nowMs());
  noteSettings(data, settingsDigest);
  await prepareSecrets();
  tellOfOpenDoors(site, door.loopback, log);
  const live = liveStream({ model, freshness, door: troubles, clock, report, access });
  opened.push(live.stop);
  live.attach(door.server);
  const app = createApp({
    ...{ site, samples, journal, bus, clock, model, report, access, version: productVersion(), central },
    readings: collector.readings,
    post: collector.post,
    process: {
      lacking: () => lacking(collector.status()),
      source: () => sourceOf(collector.status()),
      clockOffsetsMs: () => collector.status().intake.clockOffsetsMs,
      unconfirmed: () => collector.status().intake.unconfirmed,
      lagMs: () => collector.status().lagMs,
      freshness,
      liveClients: () => live.clients,
      letGo: () => collector.status().letGo,
      longTerm: collector.longTerm,
    },
    messages: {
      ...messageWords(site),
      book: data.messages,
      publicKey: collector.messages?.publicKey ?? null,
      trouble: () => collector.messages?.trouble() ?? [],
    },
    webFolder: fileURLToPath(new URL("../web", import.meta.url)),
  });
  door.answerWith(app);
  opened.push(() => door.hold("stopping"));
  return { url: door.url, firstLink: access.ready() ? null : makeLink(data.people, null, clock.nowMs()).path, ended };
}

/** Limits, rules and specifications stand in the settings as well: that the file is another one is a change like any other. */
function noteSettings({ record }: Pick<ReadingFolder, "record">, digest: string | null): void {
  const [last] = record.read({ kinds: ["settings-changed"], limit: 1 });
  const old = (last?.new as { readonly sha256?: string } | null | undefined)?.sha256 ?? null;
  if (digest === null || digest === old) return;
  const change = { old: old === null ? null : { sha256: old }, new: { sha256: digest } };
  const by = hostActor("settings file");
  record.append({ kind: "settings-changed", subject: "settings", ...change, reason: "found at the start", by });
}

/** What the settings open wider than the product would by itself is said at each start. */
function tellOfOpenDoors({ doors }: Site, loopback: boolean, log: Log): void {
  if (loopback) return;
  if (doors.openReading === true) {
    log.warn("doors.openReading: everybody in the network may look at everything without signing in");
  }
  if (doors.openSending === true) {
    log.warn("doors.openSending: everybody in the network may hand in readings without saying who they are");
  }
}

function sourceOf({ source, awaySinceMs, linesAway = [], pair = null }: CollectorStatus): SourceFigures {
  return { ...source, collector: awaySinceMs === null, linesAway, pair };
}

function lacking({ source, intake, awaySinceMs }: CollectorStatus): Mistake[] {
  if (awaySinceMs !== null) {
    const found = `nothing was heard since ${instant(awaySinceMs)}`;
    return [{ place: "collector", found, expected: "a collector that runs, over the same data folder and broker" }];
  }
  const missing: Mistake[] = [];
  if (!source.connected) {
    missing.push({ place: "source", found: source.detail, expected: "a broker that answers" });
  }
  if (intake.fault !== null) {
    missing.push({ place: "store", found: intake.fault.message, expected: "a store that keeps what it is given" });
  }
  return missing;
}
