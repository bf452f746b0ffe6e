import type { Fault, FaultPlan } from "./faults.ts";
import type { Message } from "./messages.ts";
import type { PlantKey, Source } from "./plant-layout.ts";
import { randomAt } from "./random.ts";

/** Messages as they reach the broker; a lost one still takes a number of the gateway's own count. */
export interface Arriving extends Message {
  readonly lost?: boolean;
}

export type Messages = (source: Source, fromMs: number, toMs: number) => Arriving[];

const windowMs = 20_000;
/** A late message is at most this late; outages aside. */
const latestMs = 120_000;
const dayMs = 86_400_000;
const slotMs = 6 * dayMs;

interface Outage {
  readonly fromMs: number;
  readonly toMs: number;
}

interface Released {
  readonly atMs: number;
  readonly message: Arriving;
}

/**
 * What networks and gateways do to messages: clocks that are off, loss, delay, repetition, wrong order, outages of which
 * the second half is sent afterwards. The same however the time is cut.
 */
export function disturbed(key: PlantKey, faults: FaultPlan, always: boolean, messages: Messages): Messages {
  const made = new Map<string, Released[]>();
  const windowOf = (source: Source, window: number): Released[] => {
    const id = `${source}/${window}`;
    const known = made.get(id);
    if (known !== undefined) return known;
    const fresh = releases(key, faults, always, source, window, messages);
    made.set(id, fresh);
    // Each gateway looks back over the last two minutes only.
    for (const old of made.keys()) {
      if (made.size <= 400) break;
      made.delete(old);
    }
    return fresh;
  };
  return (source, fromMs, toMs) => {
    const out: Released[] = [];
    const take = (released: readonly Released[]): void => {
      for (const one of released) if (fromMs <= one.atMs && one.atMs < toMs) out.push(one);
    };
    for (let window = Math.floor((fromMs - latestMs) / windowMs); window * windowMs < toMs; window += 1) {
      take(windowOf(source, window));
    }
    for (const outage of outages(key, faults, always, source, fromMs - slotMs, toMs)) {
      if (outage.toMs >= fromMs - latestMs && outage.toMs < toMs)
        take(backfill(key, faults, always, source, outage, messages));
    }
    return out.sort((a, b) => a.atMs - b.atMs).map(({ message }) => message);
  };
}

function releases(
  key: PlantKey,
  faults: FaultPlan,
  always: boolean,
  source: Source,
  window: number,
  messages: Messages,
): Released[] {
  const fromMs = window * windowMs;
  const dark = outages(key, faults, always, source, fromMs, fromMs + windowMs);
  const random = randomAt(key.seed, source, window, "disturbed");
  return messages(source, fromMs, fromMs + windowMs).flatMap((message): Released[] => {
    const shown = { ...skewed(message, skewMs(key, faults, always, source, message.fromMs)) };
    const [lost, kind, wait] = [random.uniform(), random.uniform(), random.uniform()];
    if (dark.some((o) => o.fromMs <= message.fromMs && message.fromMs < o.toMs)) return [];
    if (!always) return [{ atMs: message.fromMs, message: shown }];
    if (lost < 0.002) return [{ atMs: message.fromMs, message: { ...shown, lost: true } }];
    const one = { atMs: message.fromMs + delay(kind, wait), message: shown };
    return lost > 0.999 ? [one, { ...one, atMs: one.atMs + 200 }] : [one];
  });
}

/** Two in a hundred are late by eight seconds on average, one in a hundred changes places with what follows. */
function delay(kind: number, wait: number): number {
  if (kind < 0.02) return Math.min(latestMs - windowMs, -8000 * Math.log(1 - wait));
  return kind < 0.03 ? 1500 : 0;
}

/** What a gateway kept of an outage, its second half, it sends as soon as it is back. */
function backfill(
  key: PlantKey,
  faults: FaultPlan,
  always: boolean,
  source: Source,
  { fromMs, toMs }: Outage,
  messages: Messages,
): Released[] {
  const kept = messages(source, Math.round((fromMs + toMs) / 2), Math.round(toMs));
  return kept.map((message, i) => ({
    atMs: toMs + Math.min(latestMs / 2, 2 * i),
    message: skewed(message, skewMs(key, faults, always, source, message.fromMs)),
  }));
}

/** Outages that touch a stretch of time: one by chance in six days, and those asked for. */
function outages(
  key: PlantKey,
  faults: FaultPlan,
  always: boolean,
  source: Source,
  fromMs: number,
  toMs: number,
): Outage[] {
  const found: Outage[] = faults.all("outage", source).filter((f: Fault) => Number.isFinite(f.toMs)) as Fault[];
  if (always) {
    for (let slot = Math.floor(fromMs / slotMs) - 1; slot * slotMs < toMs; slot += 1) {
      const random = randomAt(key.seed, source, slot, "outage");
      const beginsMs = slot * slotMs + Math.round(random.uniform() * slotMs);
      const minutes = Math.min(25, Math.max(3, 8 * Math.exp(0.6 * random.normal())));
      found.push({ fromMs: beginsMs, toMs: beginsMs + Math.round(60_000 * minutes) });
    }
  }
  return found.filter((o) => o.fromMs < toMs && o.toMs > fromMs);
}

/** A gateway's clock is off by some tenths of a second, and by up to a second more before it is set again each day. */
function skewMs(key: PlantKey, faults: FaultPlan, always: boolean, source: Source, tMs: number): number {
  const asked = 5000 * faults.size("clock-skew", source, tMs);
  if (!always) return Math.round(asked);
  const own = randomAt(key.seed, source, 0, "skew");
  const fixed = 400 * own.normal();
  const drift = own.uniform() < 0.5 ? -2000 : 2000;
  return Math.round(asked + fixed + drift * ((tMs % dayMs) / dayMs - 0.5));
}

function skewed(message: Message, byMs: number): Message {
  if (byMs === 0) return message;
  const shifted = (one: Readonly<Record<string, unknown>>): Record<string, unknown> => ({
    ...one,
    t: (one["t"] as number) + byMs,
  });
  const { readings } = message.body as { readings?: readonly Record<string, unknown>[] };
  const body = readings === undefined ? shifted(message.body) : { ...message.body, readings: readings.map(shifted) };
  return { ...message, fromMs: message.fromMs + byMs, body };
}
