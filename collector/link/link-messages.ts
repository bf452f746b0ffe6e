import { createHmac, timingSafeEqual } from "node:crypto";
import type { ForwardStatus } from "../forward/forwarder.ts";
import type { AllRefused } from "../intake/intake.ts";
import type { Posted } from "../intake/posted-readings.ts";
import type { RouteTrouble } from "../notify/sender.ts";
import type { Freshness } from "../pipeline/freshness.ts";
import type { SourceTrouble } from "../pipeline/source-trouble.ts";
import type { BusTopic } from "../platform/bus.ts";
import type { SourceStatus } from "../source/message-source.ts";
import type { PairStatus } from "../standby/lease.ts";
import type { RefusedLine } from "../store/forward-book.ts";

/** Where collector and api of one site meet at the broker; no sensor sends there. */
const ROOT = "steadypour-link";

/** Where a process speaks; the other one listens there. */
export type Side = "collector" | "api";

export function linkTopic(site: string, side: Side): string {
  return `${ROOT}/${site}/${side}`;
}

export function isLinkTopic(topic: string): boolean {
  return topic.startsWith(`${ROOT}/`);
}

/** What the collector says of itself, each second. Plain JSON. */
export interface Told {
  readonly atMs: number;
  readonly source: SourceStatus;
  readonly intake: {
    readonly fault: { readonly code: string; readonly message: string } | null;
    readonly waiting: number;
    readonly unconfirmed: number;
    readonly commits: number;
    readonly refused: readonly (readonly [source: string, AllRefused])[];
    readonly clockOffsetsMs: readonly (readonly [source: string, ms: number])[];
  };
  readonly lagMs: readonly (readonly [station: string, ms: number])[];
  readonly letGo: number;
  readonly freshness: readonly (Freshness & SourceTrouble)[];
  readonly longTerm: { readonly status: ForwardStatus; readonly refused: readonly RefusedLine[] } | null;
  readonly trouble: readonly RouteTrouble[];
  readonly pair: PairStatus | null;
}

export type LinkMessage =
  | { readonly kind: "news"; readonly topic: BusTopic }
  | { readonly kind: "status"; readonly told: Told }
  /** Readings that came to the api, as they came (base64). */
  | { readonly kind: "post"; readonly id: string; readonly body: string }
  | { readonly kind: "posted"; readonly id: string; readonly became: Posted | "full" | { readonly failed: string } };

const MAC_BYTES = 32;

/** Signs a message: others may reach the broker, and must not be able to speak for us. */
export function sealed(key: string, version: string, topic: string, message: LinkMessage): Buffer {
  const text = Buffer.from(JSON.stringify({ version, message }));
  return Buffer.concat([mac(key, topic, text), text]);
}

/** What was said; null where it is not of ours, and the other's version where that is not ours. */
export function opened(
  key: string,
  version: string,
  topic: string,
  bytes: Uint8Array,
): LinkMessage | { readonly kind: "other-version"; readonly version: string } | null {
  const text = bytes.subarray(MAC_BYTES);
  if (text.length === 0 || !timingSafeEqual(bytes.subarray(0, MAC_BYTES), mac(key, topic, text))) return null;
  const said = JSON.parse(Buffer.from(text).toString()) as {
    readonly version: string;
    readonly message: LinkMessage;
  };
  return said.version === version ? said.message : { kind: "other-version", version: said.version };
}

/** Over the topic as well, so that what one side said cannot be played to it again as the other's word. */
function mac(key: string, topic: string, text: Uint8Array): Buffer {
  return createHmac("sha256", key).update(topic).update("\0").update(text).digest();
}
