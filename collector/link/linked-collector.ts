import { randomUUID } from "node:crypto";
import type { ForwardStatus } from "../forward/forwarder.ts";
import { newestOfStation } from "../pipeline/expected-series.ts";
import type { Bus } from "../platform/bus.ts";
import type { Clock } from "../platform/clock.ts";
import { Fault } from "../platform/fault.ts";
import type { Site } from "../platform/settings/site.ts";
import type { CollectorStatus, CollectorView, StationFreshness } from "../start.ts";
import type { ReadingPort } from "../store/reading-port.ts";
import type { SampleReader } from "../store/sample-store.ts";
import type { LinkMessage, Told } from "./link-messages.ts";
import { type LinkParts, openLink } from "./open-link.ts";
import { passNews } from "./pass-news.ts";

/** It says how it stands each second; so long without a word, and it is away. */
const AWAY_MS = 8_000;
/** A commit takes a fraction of this; whoever sent the readings sends them again, and what was kept is kept once. */
const POST_MS = 10_000;
const MOST_POSTS = 32;

export interface LinkedParts extends LinkParts {
  readonly settings: Site;
  readonly samples: SampleReader;
  readonly readings: ReadingPort;
  readonly bus: Bus;
  readonly clock: Clock;
  /** Whether the settings name a long-term store. */
  readonly hasLongTerm: boolean;
  /** What browsers subscribe to messages with; null where none leave. */
  readonly publicKey: string | null;
}

type Became = Extract<LinkMessage, { kind: "posted" }>["became"] | "lost";

/** The collector of another process of this host, as the api sees it: by what it says, and by what it wrote. */
export function linkedCollector(parts: LinkedParts): CollectorView & { stop(): Promise<void> } {
  const { settings, samples, bus, clock } = parts;
  let told: Told | null = null;
  let heardMs = Number.NEGATIVE_INFINITY;
  const startedMs = clock.nowMs();
  const waiting = new Map<string, (became: Became) => void>();
  const stopping = new AbortController();

  const hear = (message: LinkMessage): void => {
    switch (message.kind) {
      case "news":
        news.announce(message.topic);
        break;
      case "status":
        // One that was held up says nothing any more.
        if (told !== null && message.told.atMs < told.atMs && clock.nowMs() - heardMs < AWAY_MS) break;
        told = message.told;
        heardMs = clock.nowMs();
        break;
      case "posted":
        waiting.get(message.id)?.(message.became);
        break;
      case "post":
        break;
    }
  };
  const link = openLink("api", parts, hear);
  const news = passNews(bus, (topic) => link.say({ kind: "news", topic }));
  /** What it said last, unless that is too long ago. */
  const newest = (): Told | null => {
    const sinceMs = clock.nowMs() - heardMs;
    // A clock that was set back says nothing.
    return sinceMs < AWAY_MS && sinceMs > -AWAY_MS ? told : null;
  };
  const awaySinceMs = (): number => (heardMs === Number.NEGATIVE_INFINITY ? startedMs : heardMs);

  const status = (): CollectorStatus => {
    const now = newest();
    if (now === null) return { ...nothingHeard, letGo: told?.letGo ?? 0, awaySinceMs: awaySinceMs() };
    const { fault, refused, clockOffsetsMs, ...intake } = now.intake;
    return {
      source: now.source,
      intake: {
        ...intake,
        fault: fault === null ? null : new Fault(fault.code, fault.message, { retryable: true }),
        refused: new Map(refused),
        clockOffsetsMs: new Map(clockOffsetsMs),
      },
      lagMs: new Map(now.lagMs),
      letGo: now.letGo,
      awaySinceMs: null,
      pair: now.pair,
    };
  };

  /** Nobody looks at the stations then: what is known is what is on disk, and it grows old. */
  const unlooked = (): readonly StationFreshness[] =>
    settings.stations.map((station) => {
      const newestMs = newestOfStation(samples, station);
      return {
        ...{ station: station.id, source: station.source, newestMs, state: newestMs === null ? "never" : "silent" },
        ...{ overdue: null, openSinceMs: null, missing: null, refused: null, late: null, clockMs: null },
      };
    });

  const longTerm: CollectorView["longTerm"] = {
    status: () => {
      const now = newest()?.longTerm?.status;
      if (now !== undefined) return now;
      const last = told?.longTerm?.status ?? nothingForwarded;
      const words = "the collector, which copies readings there, is not heard";
      return { ...last, trouble: { code: "collector-away", words, sinceMs: awaySinceMs() } };
    },
    refused: (most) => (told?.longTerm?.refused ?? []).slice(0, most),
  };

  return {
    readings: parts.readings,
    longTerm: parts.hasLongTerm ? longTerm : null,
    messages: parts.publicKey === null ? null : { publicKey: parts.publicKey, trouble: () => told?.trouble ?? [] },
    status,
    freshness: () => newest()?.freshness ?? unlooked(),
    post: async (payload) => {
      if (stopping.signal.aborted || newest() === null) return away();
      if (waiting.size >= MOST_POSTS) return "full";
      const id = randomUUID();
      const became = new Promise<Became>((resolve) => waiting.set(id, resolve));
      const over = new AbortController();
      const late = clock.sleep(POST_MS, AbortSignal.any([over.signal, stopping.signal])).then(
        () => "lost" as const,
        // Answered, or we stop: in either case nobody waits for it any more.
        () => "lost" as const,
      );
      link.say({ kind: "post", id, body: Buffer.from(payload).toString("base64") });
      const answer = await Promise.race([became, late]);
      over.abort();
      waiting.delete(id);
      if (answer === "lost") return away();
      if (typeof answer === "string" || !("failed" in answer)) return answer;
      return new Fault("store-unavailable", answer.failed, { retryable: true });
    },
    stop: async () => {
      stopping.abort();
      news.stop();
      await link.close();
    },
  };
}

function away(): Fault {
  return new Fault("collector-away", "the collector is not heard, and it alone keeps readings", { retryable: true });
}

const nothingHeard: Omit<CollectorStatus, "awaySinceMs" | "letGo"> = {
  source: { connected: false, detail: "the collector is not heard", unacknowledged: 0, reconnects: 0, broker: null },
  intake: { fault: null, waiting: 0, unconfirmed: 0, commits: 0, refused: new Map(), clockOffsetsMs: new Map() },
  lagMs: new Map(),
};

const nothingForwarded: ForwardStatus = {
  ...{ where: null, version: null, trouble: null, lastTrouble: null, upToDateMs: null },
  ...{ forwarded: 0, refusedLines: 0, beyondRetention: 0, shortDays: 0, behindReadings: 0, behindSeconds: 0 },
};
