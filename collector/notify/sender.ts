import type { Message } from "../../spc/model/message.ts";
import type { Bus } from "../platform/bus.ts";
import type { Clock } from "../platform/clock.ts";
import { Fault } from "../platform/fault.ts";
import type { Log } from "../platform/log.ts";
import type { Journal } from "../store/journal.ts";
import type { Delivery, Device, DeviceAddress, FailReason, MessageBook } from "../store/message-book.ts";
import type { PostPush, PushAnswer } from "./push/post-push.ts";
import { pushOutcome } from "./push/push-answer.ts";
import { pushJson, topicOf } from "./push/push-json.ts";
import { type PushRequest, pushRequest } from "./push/push-request.ts";
import type { VapidSigner } from "./push/vapid.ts";

export interface SenderParts {
  readonly journal: Journal;
  readonly book: MessageBook;
  readonly post: PostPush;
  readonly signer: VapidSigner;
  readonly clock: Clock;
  readonly bus: Bus;
  readonly log: Log;
  readonly random?: () => number;
}

/** A push service that does not let us in: key, clock or contact are to be put right. */
export interface RouteTrouble {
  /** Such as `https://push.example.net`. */
  readonly service: string;
  readonly status: number;
  readonly sinceMs: number;
}

export interface Sender {
  /** Takes in what was queued and sends what is due, until stopped. */
  run(signal: AbortSignal): Promise<void>;
  trouble(): readonly RouteTrouble[];
}

const CHECKPOINT = "messages";
/** Messages under way at a time. */
const AT_ONCE = 8;
/** Longer than an attempt may take: due again then, should this process die in it. */
const LEASE_MS = 15_000;
/** A service that does not let us in is asked again after this. */
const CLOSED_MS = 5 * 60_000;
const LOOK_MS = 1_000;
const RETRY_MS = 2_000;
/** A message this young has its whole life before it. */
const YOUNG_MS = 60_000;

/**
 * Sends messages. What was accepted is never sent again; what may have been, when a process died between sending and
 * hearing, is sent once more under the same topic and tag, where the service and the phone keep one of the two.
 */
export function sender(parts: SenderParts): Sender {
  const { journal, book, clock, bus, log } = parts;
  const random = parts.random ?? Math.random;
  const troubles = new Map<string, RouteTrouble>();

  const takeIn = (): void => {
    const { seq = 0 } = (journal.checkpoint(CHECKPOINT) ?? {}) as { readonly seq?: number };
    const entries = journal.read({ kinds: ["message"], afterSeq: seq });
    const last = entries.at(-1);
    if (last === undefined) return;
    const devices = book.devices().filter(({ address }) => address !== null);
    book.queue(
      entries.flatMap((entry) => {
        if (entry.kind !== "message") return [];
        const { id: message, person, device, queuedMs, expiresMs } = entry.body;
        const meant = devices.filter((one) => (device === null ? one.person === person : one.id === device));
        const ids = meant.length === 0 ? [""] : meant.map(({ id }) => id);
        return ids.map((one) => ({ message, device: one, queuedMs, expiresMs }));
      }),
    );
    // After the rows: a process that dies between the two queues them again, which changes nothing.
    journal.saveCheckpoint(CHECKPOINT, { seq: last.seq });
  };

  const sendOne = async (delivery: Delivery): Promise<void> => {
    const { message: id, device: to } = delivery;
    const nowMs = clock.nowMs();
    const entry = journal.find(`message/${id}`);
    const device = book.device(to);
    if (entry?.kind !== "message") throw new TypeError(`a delivery of ${id}, which no entry has`);
    if (device?.address == null) {
      book.failed(id, to, nowMs, "gone", null);
      return;
    }
    if (nowMs >= delivery.expiresMs) {
      book.failed(id, to, nowMs, lastReason(delivery), null);
      return;
    }
    const service = new URL(device.address.endpoint).origin;
    const closed = troubles.get(service);
    if (closed !== undefined && nowMs < closed.sinceMs + CLOSED_MS) {
      later(delivery, closed.sinceMs + CLOSED_MS, String(closed.status), nowMs);
      return;
    }
    const push = sealed(() => requestOf(entry.body, delivery, device, device.address as DeviceAddress, nowMs));
    if (push === null) {
      book.failed(id, to, nowMs, "refused", null);
      log.error({ message: id, device: to }, "a message could not be sealed for a device: its keys are none");
      return;
    }
    book.attempt(id, to, nowMs, nowMs + LEASE_MS);
    const answer = await parts.post(push);
    settle(delivery, service, answer);
  };

  const requestOf = (message: Message, { expiresMs }: Delivery, device: Device, to: DeviceAddress, nowMs: number) => {
    const { endpoint, p256dh, auth } = to;
    const young = message.why !== "trial" && nowMs - message.queuedMs < YOUNG_MS;
    return pushRequest(
      { endpoint, keys: { p256dh, auth } },
      {
        ...{ label: message.label, topic: topicOf(message), json: pushJson(message, device) },
        quiet: message.why === "over",
        ...(young ? {} : { leftMs: expiresMs - nowMs }),
      },
      parts.signer,
      nowMs,
    );
  };

  const settle = (delivery: Delivery, service: string, answer: PushAnswer): void => {
    const { message, device, attempts } = delivery;
    const nowMs = clock.nowMs();
    const outcome = pushOutcome(answer.status, answer.retryAfter, attempts, nowMs);
    if (outcome?.kind !== "not-allowed" && answer.status !== null) troubles.delete(service);
    const tried = { ...delivery, attempts: attempts + 1, answer: answer.words };
    if (outcome === null) book.failed(message, device, nowMs, lastReason(tried), answer.words);
    else if (outcome.kind === "accepted") {
      book.accepted(message, device, nowMs, answer.words, shortened(delivery, answer, nowMs));
    } else if (outcome.kind === "gone") {
      book.failed(message, device, nowMs, "gone", answer.words);
      book.removeDevice(device, "service", nowMs);
      log.warn({ device, status: answer.words }, "a push service says that a device is gone");
    } else if (outcome.kind === "our-fault") {
      book.failed(message, device, nowMs, "refused", answer.words);
      log.error({ message, device, status: outcome.status }, "a push service refused what we sent: our defect");
    } else if (outcome.kind === "not-allowed") {
      troubles.set(service, { service, status: outcome.status, sinceMs: nowMs });
      log.error({ service, status: outcome.status }, "a push service does not let us in: key, clock or contact");
      later(tried, nowMs + CLOSED_MS, answer.words, nowMs);
    } else {
      // Never sooner than the service asked: jitter only adds.
      later(tried, nowMs + outcome.afterMs * (1 + random() / 4), answer.words, nowMs);
    }
  };

  /** What would come too late is given up now, so that nobody waits for it. */
  const later = (delivery: Delivery, dueMs: number, answer: string, nowMs: number): void => {
    const { message, device, expiresMs } = delivery;
    if (dueMs < expiresMs) book.again(message, device, answer, Math.ceil(dueMs));
    else book.failed(message, device, nowMs, lastReason({ ...delivery, answer }), answer);
  };

  const underWay = new Map<string, Promise<void>>();
  const sendDue = (): void => {
    for (const delivery of book.due(clock.nowMs(), 4 * AT_ONCE)) {
      const key = `${delivery.message} ${delivery.device}`;
      if (underWay.size >= AT_ONCE || underWay.has(key)) continue;
      const sending = sendOne(delivery)
        .catch(fail)
        .finally(() => {
          underWay.delete(key);
          wake();
        });
      underWay.set(key, sending);
    }
  };
  /** A store that fails is tried again; a defect ends the loop, and with it the process. */
  let defect: unknown = null;
  const fail = (error: unknown): void => {
    if (error instanceof Fault && error.retryable)
      log.error({ err: error }, "a message could not be noted; tried again");
    else defect ??= error;
  };
  let wake = (): void => undefined;

  return {
    trouble: () => [...troubles.values()],
    run: async (signal) => {
      let woken = new AbortController();
      wake = () => woken.abort();
      const stopListening = bus.on("journal", () => wake());
      signal.addEventListener("abort", () => wake(), { once: true });
      try {
        while (!signal.aborted && defect === null) {
          let restMs = LOOK_MS;
          woken = new AbortController();
          try {
            takeIn();
            sendDue();
          } catch (error) {
            fail(error);
            restMs = RETRY_MS;
          }
          await clock.sleep(restMs, woken.signal).catch(() => undefined);
        }
        // What is under way is waited for: it is known then whether it arrived.
        await Promise.all(underWay.values());
        if (defect !== null) throw defect;
      } finally {
        stopListening();
      }
    },
  };
}

/** A device's keys come from outside: one whose keys are none must not stop the messages of all others. */
function sealed(request: () => PushRequest): PushRequest | null {
  try {
    return request();
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}

/** Why a message that can wait no longer was not delivered. */
function lastReason({ answer, attempts }: Pick<Delivery, "answer" | "attempts">): FailReason {
  if (attempts === 0 || answer === null) return "expired";
  if (answer === "401" || answer === "403") return "not-allowed";
  return /^\d+$/.test(answer) ? "service-trouble" : "unreachable";
}

/** A service may keep a message for less than it was asked. */
function shortened({ expiresMs }: Delivery, { ttl }: PushAnswer, nowMs: number): number {
  return ttl !== null && /^\d{1,9}$/.test(ttl) ? Math.min(expiresMs, nowMs + 1000 * Number(ttl)) : expiresMs;
}
