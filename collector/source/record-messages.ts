import type { BrokerAccess } from "../platform/broker-access.ts";
import type { Clock } from "../platform/clock.ts";
import { Fault } from "../platform/fault.ts";
import type { RawMessage } from "./message-source.ts";
import { passingClient } from "./passing-client.ts";
import { isCommand } from "./recording.ts";

export interface RecordInput {
  readonly access: BrokerAccess;
  readonly topics: readonly string[];
  readonly clock: Clock;
  readonly take: (message: RawMessage) => void;
  readonly say: (words: string) => void;
}

/**
 * Hands over what is published, until `signal` aborts; what `take` throws ends it. Last-known values that the broker kept
 * are no news, and commands none of ours. What is published while the broker is away is not heard of.
 */
export async function recordMessages(input: RecordInput, signal: AbortSignal): Promise<void> {
  const { access, topics, clock, take } = input;
  const client = await passingClient(access, input.say);
  try {
    const failed = new Promise<never>((_, reject) => {
      client.handleMessage = ({ topic, payload, retain: retained, qos }, done) => {
        const bytes = typeof payload === "string" ? Buffer.from(payload) : payload;
        try {
          if (!retained && !isCommand(topic)) take({ topic, payload: bytes, receivedMs: clock.nowMs(), retained, qos });
          done();
        } catch (error) {
          reject(error);
        }
      };
    });
    const granted = await client.subscribeAsync([...topics], { qos: 1 });
    const refused = granted.filter(({ qos }) => qos >= 128).map(({ topic }) => topic);
    if (refused.length > 0) {
      const words = `the broker refused the subscription to ${refused.join(", ")}`;
      throw new Fault("broker-unreachable", words, { retryable: false });
    }
    const ended = new Promise<void>((resolve) => {
      if (signal.aborted) resolve();
      signal.addEventListener("abort", () => resolve(), { once: true });
    });
    await Promise.race([ended, failed]);
  } finally {
    await client.endAsync(true);
  }
}
