import type { MessageHandler, RawMessage } from "../../../collector/source/message-source.ts";

export interface KeptMessages {
  readonly handle: MessageHandler;
  readonly messages: RawMessage[];
  texts(): readonly string[];
  /** Settles the oldest `count` that are not settled yet. */
  settle(count?: number, error?: Error): void;
  /** From now on each is settled as it comes. */
  settleAll(): void;
}

/** Takes messages as the intake does, and settles them when the test says so. */
export function keptMessages(): KeptMessages {
  const messages: RawMessage[] = [];
  const waiting: ((error?: Error) => void)[] = [];
  let atOnce = false;
  const settle = (count = 1, error?: Error): void => {
    for (const one of waiting.splice(0, count)) one(error);
  };
  return {
    messages,
    handle: (message, settled) => {
      messages.push(message);
      waiting.push(settled);
      if (atOnce) settle(Number.MAX_SAFE_INTEGER);
    },
    texts: () => messages.map((message) => Buffer.from(message.payload).toString()),
    settle,
    settleAll: () => {
      atOnce = true;
      settle(Number.MAX_SAFE_INTEGER);
    },
  };
}
