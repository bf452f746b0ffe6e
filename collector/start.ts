import { join } from "node:path";
import type { Message } from "../spc/model/message.ts";
import { keepRules, seriesPlaces } from "./decode/catalogue.ts";
import { postedDecoder } from "./decode/posted-decoder.ts";
import { siteDecoder } from "./decode/site-decoder.ts";
import { siteHistory } from "./decode/site-history.ts";
import { type Forwarder, forwarder } from "./forward/forwarder.ts";
import { type IntakeStatus, intake } from "./intake/intake.ts";
import { type PostedReadings, postedReadings } from "./intake/posted-readings.ts";
import { type JournalCopyParts, journalCopy } from "./lines/journal-copy.ts";
import { lineFiles } from "./lines/line-head.ts";
import { lookAtSettings } from "./lines/line-settings.ts";
import { takeCopies } from "./lines/take-copies.ts";
import { isLinkTopic, type Side } from "./link/link-messages.ts";
import { type LinkedParts, linkedCollector } from "./link/linked-collector.ts";
import { type LinkParts, openLink } from "./link/open-link.ts";
import { serveLink } from "./link/serve-link.ts";
import { messageRouter } from "./notify/message-router.ts";
import { postPush } from "./notify/push/post-push.ts";
import { reportToken } from "./notify/push/push-json.ts";
import { vapidSigner } from "./notify/push/vapid.ts";
import { type Sender, sender } from "./notify/sender.ts";
import { siteClock } from "./notify/site-clock.ts";
import { trialMessage } from "./notify/trial-message.ts";
import { vapidKeyOf } from "./notify/vapid-file.ts";
import type { Freshness } from "./pipeline/freshness.ts";
import type { InstrumentStates } from "./pipeline/instrument-fold.ts";
import { pipeline } from "./pipeline/pipeline.ts";
import { type SourceTrouble, sourceTroubles } from "./pipeline/source-trouble.ts";
import { checkpointName, type StationState } from "./pipeline/station-state.ts";
import { brokerAccess } from "./platform/broker-access.ts";
import type { Bus } from "./platform/bus.ts";
import { type Clock, systemClock } from "./platform/clock.ts";
import type { Environment } from "./platform/environment.ts";
import { Fault } from "./platform/fault.ts";
import { type InfluxAccess, influxAccess } from "./platform/influx-access.ts";
import { linkKeyOf } from "./platform/link-key.ts";
import type { Log } from "./platform/log.ts";
import { isLoopback } from "./platform/loopback.ts";
import type { MessagesSettings } from "./platform/settings/people-schema.ts";
import type { Site } from "./platform/settings/site.ts";
import { brokerMemory } from "./source/broker-memory.ts";
import { brokerUsers } from "./source/broker-users.ts";
import { embeddedBroker } from "./source/embedded-broker.ts";
import { externalBroker } from "./source/external-broker.ts";
import { LINK_USER } from "./source/link-users.ts";
import type { MessageSource, SourceStatus } from "./source/message-source.ts";
import { recordMessages } from "./source/record-messages.ts";
import { isCommand, recordedMessage, recordingHead, recordingHeadMistake, recordingLine } from "./source/recording.ts";
import { replayMessages } from "./source/replay-messages.ts";
import type { Lease, PairStatus } from "./standby/lease.ts";
import { standBy } from "./standby/stand-by.ts";
import { lockFile } from "./store/embedded/lock-file.ts";
import { type DataFolder, openDataFolder } from "./store/embedded/open-data-folder.ts";
import { farReadings } from "./store/influx/far-readings.ts";
import { siteTag } from "./store/influx/influx-line.ts";
import { joinedReadings, localReadings } from "./store/joined-readings.ts";
import type { Journal } from "./store/journal.ts";
import { keepSealed } from "./store/keep-sealed.ts";
import { type KeptWithin, keepWithin } from "./store/keep-within.ts";
import type { Device } from "./store/message-book.ts";
import type { ReadingPort } from "./store/reading-port.ts";

/** A raw block of waveform is kept this often, until the run closes and one of them remains. */
const SNAPSHOT_EVERY_MS = 5_000;

export type { Lease, PairStatus };

export interface CollectorParts {
  readonly site: Site;
  readonly data: DataFolder;
  readonly source: MessageSource;
  readonly clock: Clock;
  readonly bus: Bus;
  readonly log: Log;
  /** How the long-term store is reached; left out where there is none. */
  readonly longTerm?: (() => InfluxAccess) | null;
  /** Where the journal is copied to, and the settings that go with it; left out where it is not. */
  readonly copy?: Pick<JournalCopyParts, "folder" | "settings"> | null;
  /** Of two collectors of which one stands by: that this one holds the line. */
  readonly lease?: Lease | null;
}

export interface CollectorStatus {
  /** Since when a collector of another process is not heard; null while it is, and for one of our own. */
  readonly awaySinceMs: number | null;
  readonly source: SourceStatus;
  readonly intake: IntakeStatus;
  /** By station: how far, in source time, cutting into runs lies behind the newest reading. */
  readonly lagMs: ReadonlyMap<string, number>;
  /** Readings that were let go since it began. */
  readonly letGo: number;
  /** Of a process that shows several lines: those that are cut off, or whose copy is damaged. */
  readonly linesAway?: readonly LineAway[];
  /** Of two collectors of which one stands by: how the pair stands. */
  readonly pair?: PairStatus | null;
}

/** Messages to phones; there is none where the settings name no contact. */
export interface MessageService extends Pick<Sender, "trouble"> {
  /** What a browser subscribes with. */
  readonly publicKey: string;
}

/** What the api writes and checks of messages itself. */
export interface MessageWords {
  /** A message that tries one device. */
  trial(device: Device, nowMs: number): Message;
  /** What a device reports a message with. */
  token(device: Device, message: string): string;
}

export function messageWords({ zone }: Pick<Site, "zone">): MessageWords {
  const clock = siteClock(zone);
  return {
    trial: (device, nowMs) => trialMessage(device, nowMs, clock),
    token: ({ secret }, message) => reportToken(secret, message),
  };
}

export interface LineAway {
  readonly line: string;
  readonly sinceMs: number;
  /** Not heard; its copy does not follow; its settings cannot be read here. */
  readonly trouble: "away" | "damaged" | "unread";
}

/** How fresh a station's data are, and what is wrong with its source. */
export type StationFreshness = Freshness & SourceTrouble;

/** A collector as the api sees it, in this process or in another one. */
export interface CollectorView {
  readonly messages: MessageService | null;
  /** Readings, wherever they are kept. */
  readonly readings: ReadingPort;
  /** Null where readings are kept here alone. */
  readonly longTerm: Pick<Forwarder, "status" | "refused"> | null;
  status(): CollectorStatus;
  freshness(): readonly StationFreshness[];
  /** Takes readings that did not come by the broker. */
  readonly post: PostedReadings["take"];
}

export interface Collector extends CollectorView {
  /** Rejects when the pipeline meets a defect: the process should end then, and begin again from its checkpoints. */
  readonly ended: Promise<void>;
  /** In order: no more messages, what is held on disk, what is complete cut. The data folder stays open. */
  stop(): Promise<void>;
}

/** How a process reaches the other one of a split product: through the broker that readings come by. */
export function siteLink(
  { name, broker }: Pick<Site, "name" | "broker">,
  environment: Environment,
  side: Side,
): Pick<LinkParts, "site" | "access"> {
  const site = siteTag(name);
  const clientId = `${brokerClientId(name)}-${side}`;
  const outside = brokerAccess(broker, environment.broker, clientId);
  // An id that is set is that of the session with the readings, and two clients of one id push each other out.
  if (outside !== null) return { site, access: { ...outside(), clientId } };
  const { host, port } = environment.mqtt;
  if (port === 0) {
    const words = "STEADYPOUR_MQTT_PORT: found 0, expected the same port for both, where collector and api are apart";
    throw new Fault("environment-invalid", words, { retryable: false });
  }
  const at = host === "0.0.0.0" ? "127.0.0.1" : host === "::" ? "[::1]" : host.includes(":") ? `[${host}]` : host;
  const password = linkKeyOf(environment.dataFolder);
  return { site, access: { url: `mqtt://${at}:${port}`, protocolVersion: 4, clientId, username: LINK_USER, password } };
}

/** Whether the collector of this site says something within that time, to a connection that takes nobody's place. */
export async function hearCollector(
  {
    site,
    environment,
    clock,
    log,
  }: Pick<CollectorParts, "site" | "clock" | "log"> & {
    readonly environment: Environment;
  },
  withinMs: number,
): Promise<boolean> {
  const { access, ...parts } = siteLink(site, environment, "api");
  const own = { ...access, clientId: `${access.clientId}-${process.pid}` };
  const heard = new AbortController();
  const link = openLink("api", { ...parts, access: own, folder: environment.dataFolder, log }, () => heard.abort());
  // Rejects when something is heard.
  await clock.sleep(withinMs, heard.signal).catch(() => undefined);
  await link.close();
  return heard.signal.aborted;
}

/** The collector of another process, over the folder that it writes into. */
export function siteLinkedCollector(
  given: Pick<LinkedParts, "bus" | "clock" | "log" | "samples"> & {
    readonly site: Site;
    readonly environment: Environment;
    readonly longTerm: (() => InfluxAccess) | null;
  },
): ReturnType<typeof linkedCollector> {
  const { site, environment, longTerm, samples, ...parts } = given;
  const far = longTerm === null ? null : farReadings(longTerm, siteTag(site.name));
  const linked = linkedCollector({
    ...parts,
    ...siteLink(site, environment, "api"),
    ...{ folder: environment.dataFolder, settings: site, samples, hasLongTerm: longTerm !== null },
    readings: far === null ? localReadings(samples) : joinedReadings(samples, far),
    publicKey: site.messages === null ? null : vapidKeyOf(environment.dataFolder).publicKey,
  });
  return {
    ...linked,
    stop: async () => {
      await linked.stop();
      far?.close();
    },
  };
}

/** Lets an api in another process hear and ask this collector. */
export function serveSite(
  collector: Collector,
  {
    site,
    environment,
    ...parts
  }: Pick<CollectorParts, "site" | "bus" | "clock" | "log"> & {
    readonly environment: Environment;
  },
): ReturnType<typeof serveLink> {
  return serveLink(collector, {
    ...parts,
    ...siteLink(site, environment, "collector"),
    folder: environment.dataFolder,
  });
}

/** Name of the settings beside a line's copy. */
export const lineSettings: string = lineFiles.settings;

/** By what a change of a line's settings is known. */
export const settingsLook: typeof lookAtSettings = lookAtSettings;

/** How the lines stand whose copies are taken. */
export type LineStates = ReturnType<typeof takeCopies>["states"];

/** Takes the copies of several lines into one journal. */
export const takeLines: typeof takeCopies = takeCopies;

/** What a line copied into the long-term store. */
export function readingsOfLine(
  longTerm: () => InfluxAccess,
  { name }: Pick<Site, "name">,
): ReturnType<typeof farReadings> {
  return farReadings(longTerm, siteTag(name));
}

/** Opens what the product keeps on disk, for the series of this site. */
export function openSiteData(
  folder: string,
  site: Site,
  options: Parameters<typeof openDataFolder>[2] = {},
): DataFolder {
  return openDataFolder(folder, seriesPlaces(site), options);
}

/** How the site's long-term store is reached; null where there is none. Throws a Fault where what is said does not fit. */
export function siteLongTerm(site: Site, environment: Environment): (() => InfluxAccess) | null {
  return influxAccess(site.influx, environment.influx);
}

/** What each instrument of a station was last found to be, by the role that its readings come under. */
export function instrumentsOf(journal: Journal, station: string): InstrumentStates {
  const saved = journal.checkpoint(checkpointName(station)) as StationState | null | undefined;
  return saved?.instruments ?? {};
}

/** Where readings go that did not come by the broker. */
export function sitePost({ site, data, bus, clock }: Omit<CollectorParts, "source" | "log">): PostedReadings {
  const decoder = postedDecoder(site, { snapshotEveryMs: SNAPSHOT_EVERY_MS });
  return postedReadings({ decoder, store: data.samples, bus, clock });
}

/** What reads a file of past readings, by the same checks as messages. */
export const historyOf: typeof siteHistory = siteHistory;

/** What plays a stream of messages in and out of files. */
export const recording = {
  head: recordingHead,
  headMistake: recordingHeadMistake,
  line: recordingLine,
  message: recordedMessage,
  isCommand,
  record: recordMessages,
  replay: replayMessages,
} as const;

/** Waits for this collector's turn among two; null for one that is alone, and "stopped" when it was stopped before. */
export async function awaitLease(
  { site, environment, log }: Pick<CollectorParts, "site" | "log"> & { readonly environment: Environment },
  signal: AbortSignal,
): Promise<Lease | null | "stopped"> {
  const { pair, dataFolder } = environment;
  if (pair === null) return null;
  if (brokerAccess(site.broker, environment.broker, brokerClientId(site.name)) === null) {
    const words =
      "STEADYPOUR_STANDBY: found a name and no outside broker, expected one (STEADYPOUR_BROKER_URL): our own ends with its collector";
    throw new Fault("environment-invalid", words, { retryable: false });
  }
  return (await standBy({ folder: dataFolder, name: pair, clock: systemClock, log, signal })) ?? "stopped";
}

/** Our own broker, or the one that settings or environment name. Throws a Fault where its files are of no use. */
export function siteSource({
  site,
  environment,
  clock,
  log,
  data,
  lease,
}: Pick<CollectorParts, "site" | "data" | "clock" | "log" | "lease"> & {
  readonly environment: Environment;
}): MessageSource {
  // The broker keeps our session under this name, so it follows from the site and not from chance.
  const clientId = brokerClientId(site.name);
  const access = brokerAccess(site.broker, environment.broker, clientId);
  if (access === null) {
    const open = site.doors.openSending ?? isLoopback(environment.mqtt.host);
    if (open && !isLoopback(environment.mqtt.host)) {
      log.warn("doors.openSending: everybody in the network may send to the broker without saying who they are");
    }
    if (!open && site.doors.mqtt.length === 0) {
      log.warn("the broker listens beyond this machine and doors.mqtt names no user: nobody can send");
    }
    const link = environment.roles.api ? {} : { linkKey: linkKeyOf(environment.dataFolder) };
    return embeddedBroker({ ...environment.mqtt, clock, users: brokerUsers(site.doors.mqtt, open), ...link });
  }
  const topics = site.sources.map(({ topic }) => topic);
  const own = (): ReturnType<typeof access> => {
    // Else one that was overtaken would push the other out of the session.
    lease?.check();
    return access();
  };
  return externalBroker({ access: own, topics, clock, log, memory: brokerMemory(data.samples, log) });
}

/** Puts the collector together from the parts handed in and starts it; rejects with a Fault when the source cannot start. */
export async function startCollector(parts: CollectorParts): Promise<Collector> {
  const { site, data, source, clock, bus, log } = parts;
  const decoder = siteDecoder(site, { snapshotEveryMs: SNAPSHOT_EVERY_MS });
  const report = (fault: Fault | null): void => {
    if (fault === null) log.info("the store works again");
    else log.error({ code: fault.code, err: fault }, "the store failed; senders keep their messages");
  };
  const door = intake({ decoder, store: data.samples, bus, clock, report });
  const posted = sitePost(parts);
  // Made before anything can arrive: it tells the store what is cut already, and so what is late.
  const { messages } = site;
  const line = pipeline({
    ...{ site, store: data.samples, journal: data.journal, clock, bus, log },
    ...(messages === null ? {} : { router: () => messageRouter(site, data.journal) }),
  });
  const tag = siteTag(site.name);
  const { longTerm = null } = parts;
  const far = longTerm === null ? null : farReadings(longTerm, tag);
  const forwarding =
    longTerm === null
      ? null
      : forwarder({ access: longTerm, site: tag, store: data.samples, journal: data.journal, clock, log });
  const service = messages === null ? null : messageService(parts, messages);
  const stopping = new AbortController();
  const freshness = (): readonly StationFreshness[] => {
    const troubleOf = sourceTroubles(data.samples, door.status(), clock.nowMs());
    return line.freshness().map((one) => ({ ...one, ...troubleOf(one.source) }));
  };
  const { copy = null } = parts;
  const { lease = null } = parts;
  const alone = lease === null ? {} : { hold: () => lockFile(join(data.path, "journal-copy.lock"), "alone") };
  const copied =
    copy === null ? null : journalCopy({ ...copy, ...alone, journal: data.journal, freshness, clock, log });
  // What the two processes of a split product tell each other is no reading, also where a source's topics hold it.
  await source.start((message, settled) => (isLinkTopic(message.topic) ? settled() : door.handle(message, settled)));
  const sealing = keepSealed(
    {
      store: data.samples,
      clock,
      failed: (err) =>
        log.error(
          { code: err instanceof Fault ? err.code : "seal-failed", err },
          "readings could not be sealed; tried again",
        ),
      lost: (stretch) => log.error(stretch, "sealed readings are damaged and left out; all others read on"),
    },
    stopping.signal,
  );
  const keeping = keepWithin(
    {
      ...{ store: data.samples, clock, rules: keepRules(site) },
      told: (kept) => tellKept(log, site.diskBudgetBytes, kept),
      failed: (fault) => log.error({ code: fault.code, err: fault }, "old readings could not be let go; tried again"),
    },
    stopping.signal,
  );
  const sending = service?.run(stopping.signal);
  const copying = forwarding?.run(stopping.signal);
  const copyingEntries = copied?.run(stopping.signal);
  const loops = [line.run(stopping.signal), sealing, keeping, sending, copying, copyingEntries];
  const ended = Promise.all(loops).then(() => undefined);

  return {
    messages: service,
    readings: far === null ? localReadings(data.samples) : joinedReadings(data.samples, far),
    longTerm: forwarding,
    status: () => ({
      ...{ source: source.status(), intake: door.status(), lagMs: line.lagMs() },
      ...{ letGo: data.samples.letGoCount(), awaySinceMs: null, pair: lease?.status() ?? null },
    }),
    freshness,
    post: posted.take,
    ended,
    stop: async () => {
      await source.stop();
      door.stop();
      posted.stop();
      stopping.abort();
      await ended;
      far?.close();
    },
  };
}

function brokerClientId(name: string): string {
  return `steadypour-${name.toLowerCase().replaceAll(/[^a-z0-9]+/g, "-")}`;
}

function tellKept(log: Log, budgetBytes: number | null, { counts, forBudget, usedBytes, stuck }: KeptWithin): void {
  const figures = { counts, forBudget, usedBytes, budgetBytes };
  if (stuck) log.error(figures, "readings take more than the disk budget, and nothing that is left may go");
  else if (forBudget > 0)
    log.warn(figures, "readings passed the disk budget: the oldest of the largest class were let go");
  else log.info(figures, "readings older than the settings keep were let go");
}

/** The sender of messages with this server's own key. */
function messageService(
  { data, clock, bus, log }: CollectorParts,
  { contact, services }: MessagesSettings,
): MessageService & Pick<Sender, "run"> {
  const key = vapidKeyOf(data.path);
  const { run, trouble } = sender({
    ...{ journal: data.journal, book: data.messages, clock, bus, log },
    ...{ post: postPush(services), signer: vapidSigner(key, contact) },
  });
  return { run, trouble, publicKey: key.publicKey };
}
