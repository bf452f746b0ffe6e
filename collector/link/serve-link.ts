import type { Bus } from "../platform/bus.ts";
import type { Clock } from "../platform/clock.ts";
import { Fault } from "../platform/fault.ts";
import type { Collector } from "../start.ts";
import type { LinkMessage, Told } from "./link-messages.ts";
import { type LinkParts, openLink } from "./open-link.ts";
import { passNews } from "./pass-news.ts";

const STATUS_EVERY_MS = 1_000;
/** Of the lines that the long-term store would not take, so many of the newest. */
const TOLD_REFUSED = 20;

/** The collector's side: says how it stands and what it wrote, and takes readings that came to the api. */
export function serveLink(
  collector: Collector,
  parts: LinkParts & { readonly bus: Bus; readonly clock: Clock },
): { stop(): Promise<void> } {
  const { bus, clock } = parts;
  const stopping = new AbortController();
  const hear = (message: LinkMessage): void => {
    if (message.kind === "news") news.announce(message.topic);
    else if (message.kind === "post") void take(message.id, Buffer.from(message.body, "base64"));
  };
  const take = async (id: string, body: Uint8Array): Promise<void> => {
    const posted = await collector.post(body);
    const became = posted instanceof Fault ? { failed: posted.message } : posted;
    link.say({ kind: "posted", id, became });
  };
  const link = openLink("collector", parts, hear);
  // Readings that came are no news to the api: it asks for them when somebody looks.
  const news = passNews(bus, (topic) => link.say({ kind: "news", topic }), ["journal"]);
  const loop = async (): Promise<void> => {
    while (!stopping.signal.aborted) {
      link.say({ kind: "status", told: toldOf(collector, clock.nowMs()) });
      // Rejects when we are stopped, and the loop's condition ends it.
      await clock.sleep(STATUS_EVERY_MS, stopping.signal).catch(() => undefined);
    }
  };
  const ended = loop();
  return {
    stop: async () => {
      stopping.abort();
      news.stop();
      await ended;
      await link.close();
    },
  };
}

function toldOf(collector: Collector, atMs: number): Told {
  const { source, intake, lagMs, letGo, pair = null } = collector.status();
  const { fault, waiting, unconfirmed, commits, refused, clockOffsetsMs } = intake;
  const { longTerm, messages } = collector;
  return {
    ...{ atMs, source, letGo, pair, lagMs: [...lagMs], freshness: collector.freshness() },
    intake: {
      ...{ waiting, unconfirmed, commits, refused: [...refused], clockOffsetsMs: [...clockOffsetsMs] },
      fault: fault === null ? null : { code: fault.code, message: fault.message },
    },
    longTerm: longTerm === null ? null : { status: longTerm.status(), refused: longTerm.refused(TOLD_REFUSED) },
    trouble: messages?.trouble() ?? [],
  };
}
