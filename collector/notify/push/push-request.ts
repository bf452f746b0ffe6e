import type { FlagLabel } from "../../../spc/model/signal.ts";
import { encryptPush, type SubscriptionKeys } from "./encrypt.ts";
import type { VapidSigner } from "./vapid.ts";

/** A device that asked for messages. */
export interface PushSubscription {
  readonly endpoint: string;
  readonly keys: SubscriptionKeys;
}

export interface PushRequest {
  readonly url: string;
  readonly headers: Readonly<Record<string, string>>;
  readonly body: Buffer;
}

/** Every message is padded to this, so that a push service cannot tell one from another by its length. */
const PADDED_BYTES = 2048;

/**
 * How long a push service keeps a message for a phone that is off, and how hard it tries. After a quarter of an hour
 * somebody else has been asked: an act-now message that comes later wakes a person for nothing.
 */
const delivery: Readonly<Record<FlagLabel, { readonly ttlS: number; readonly urgency: "high" | "normal" | "low" }>> = {
  "act-now": { ttlS: 900, urgency: "high" },
  look: { ttlS: 7_200, urgency: "normal" },
  "instrument-fault": { ttlS: 7_200, urgency: "normal" },
  "for-review": { ttlS: 43_200, urgency: "low" },
};

/** How long a message is worth sending: past it, the time to live would be over. */
export function livesMs(label: FlagLabel): number {
  return delivery[label].ttlS * 1000;
}

export interface PushMessage {
  readonly label: FlagLabel;
  /** Lets a later version of the message replace this one at the push service. */
  readonly topic: string;
  readonly json: string;
  /** It asks for nothing: no phone need wake for it. */
  readonly quiet?: boolean;
  /** What is left of its life when it is sent late; left out, all of it. */
  readonly leftMs?: number;
}

/** The request that hands a message to a push service (RFC 8030). */
export function pushRequest(
  subscription: PushSubscription,
  message: PushMessage,
  signer: VapidSigner,
  nowMs: number,
): PushRequest {
  if (!/^[A-Za-z0-9_-]{1,32}$/.test(message.topic)) {
    throw new RangeError(`a topic has 1 to 32 characters of base64url, got ${message.topic}`);
  }
  const { ttlS, urgency } = delivery[message.label];
  const leftS = Math.ceil((message.leftMs ?? ttlS * 1000) / 1000);
  const body = encryptPush(Buffer.from(message.json, "utf8"), subscription.keys, PADDED_BYTES);
  return {
    url: subscription.endpoint,
    headers: {
      TTL: String(Math.min(ttlS, Math.max(leftS, 1))),
      Urgency: message.quiet === true ? "low" : urgency,
      Topic: message.topic,
      "Content-Type": "application/octet-stream",
      "Content-Encoding": "aes128gcm",
      "Content-Length": String(body.length),
      Authorization: signer.authorization(subscription.endpoint, nowMs),
    },
    body,
  };
}
