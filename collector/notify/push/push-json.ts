import { createHash, createHmac } from "node:crypto";
import type { Message } from "../../../spc/model/message.ts";
import type { Pushed } from "../../../spc/model/pushed.ts";

export function pushJson(message: Message, device: { readonly id: string; readonly secret: string }): string {
  const { id, flag, label, title, body, card, why } = message;
  const data: Pushed = {
    web_push: 8030,
    notification: {
      ...{ title, body, navigate: flag === null ? "/pocket/set-up" : `/pocket/flag/${encodeURIComponent(flag)}` },
      tag: flag ?? id,
      data: {
        message: id,
        device: device.id,
        token: reportToken(device.secret, id),
        flag,
        label,
        card,
        quiet: why === "over",
      },
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
