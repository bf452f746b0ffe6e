import { createHash, createHmac } from "node:crypto";
import type { Message, MessageCard } from "../../../spc/model/message.ts";
import type { FlagLabel } from "../../../spc/model/signal.ts";

/** What a phone gets, whole: enough to show and to answer without asking the plant first. */
export interface PushData {
  /** The shape that some phones show by themselves where the worker fails (declarative push: `web_push` 8030). */
  readonly web_push: 8030;
  readonly notification: {
    readonly title: string;
    readonly body: string;
    readonly navigate: string;
    readonly tag: string;
    readonly data: {
      readonly message: string;
      readonly device: string;
      /** Lets the worker report without a PIN; good for this message on this device alone. */
      readonly token: string;
      readonly flag: string | null;
      readonly label: FlagLabel;
      readonly card: MessageCard;
    };
  };
}

export function pushJson(message: Message, device: { readonly id: string; readonly secret: string }): string {
  const { id, flag, label, title, body, card } = message;
  const data: PushData = {
    web_push: 8030,
    notification: {
      ...{ title, body, navigate: flag === null ? "/pocket/set-up" : `/pocket/flag/${encodeURIComponent(flag)}` },
      tag: flag ?? id,
      data: { message: id, device: device.id, token: reportToken(device.secret, id), flag, label, card },
    },
  };
  return JSON.stringify(data);
}

/** Proves that a report comes from whoever read the message; stored nowhere, for it follows from the device's secret. */
export function reportToken(secret: string, message: string): string {
  return createHmac("sha256", secret).update(message).digest("base64url").slice(0, 22);
}

/** The push service sees topics in the clear: one says no more than that two messages are about the same. */
export function topicOf(message: Message): string {
  return createHash("sha256")
    .update(message.flag ?? message.id)
    .digest("base64url")
    .slice(0, 32);
}
