import type { BrokerAccess } from "../platform/broker-access.ts";
import type { Clock } from "../platform/clock.ts";
import { passingClient } from "./passing-client.ts";
import type { RecordedMessage } from "./recording.ts";

export interface ReplayInput {
  readonly access: BrokerAccess;
  readonly messages: Iterable<RecordedMessage>;
  /** Times faster than it was recorded; Infinity, as fast as the broker takes it. */
  readonly speed: number;
  readonly clock: Clock;
  /** Told when the broker has acknowledged a message. */
  readonly acknowledged: (message: RecordedMessage) => void;
  readonly say: (words: string) => void;
}

const MOST_UNACKNOWLEDGED = 256;
const AGAIN_MS = 50;

/**
 * Publishes a recording at QoS 1, each message as long after the first as it was recorded, divided by the speed. Resolves
 * when all are acknowledged, or when `signal` aborts; a broker that goes away only holds it up.
 */
export async function replayMessages(input: ReplayInput, signal: AbortSignal): Promise<void> {
  const { clock, speed } = input;
  const client = await passingClient(input.access, input.say);
  let open = 0;
  let wake: () => void = () => {};
  const publish = (message: RecordedMessage): void => {
    client.publish(message.topic, message.payload, { qos: 1 }, (error) => {
      // It gives up on what it is handed while it sends old messages again and the connection breaks once more.
      if (error != null && !client.disconnecting) return void setTimeout(() => publish(message), AGAIN_MS);
      open -= 1;
      if (error == null) input.acknowledged(message);
      wake();
    });
  };
  const room = async (most: number): Promise<void> => {
    while (open > most && !signal.aborted) {
      await new Promise<void>((resolve) => {
        wake = resolve;
        signal.addEventListener("abort", () => resolve(), { once: true });
      });
    }
  };
  try {
    const beganMs = clock.nowMs();
    let firstMs: number | undefined;
    for (const message of input.messages) {
      firstMs ??= message.atMs;
      const waitMs = beganMs + (message.atMs - firstMs) / speed - clock.nowMs();
      // The only way out of the sleep is that we stop.
      if (waitMs > 1) await clock.sleep(waitMs, signal).catch(() => {});
      await room(MOST_UNACKNOWLEDGED - 1);
      if (signal.aborted) return;
      open += 1;
      publish(message);
    }
    await room(0);
  } finally {
    await client.endAsync(signal.aborted);
  }
}
