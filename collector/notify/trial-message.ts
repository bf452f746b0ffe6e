import type { Message } from "../../spc/model/message.ts";
import { compactTime } from "../store/entries.ts";
import type { Device } from "../store/message-book.ts";
import type { SiteClock } from "./site-clock.ts";

/** Whoever tries a phone looks at it: later than this the answer is that it did not work. */
const LIVES_MS = 2 * 60_000;

/** A message that tries one device. It says first that it is a test, as everything that is one must. */
export function trialMessage(device: Pick<Device, "id" | "person">, nowMs: number, clock: SiteClock): Message {
  const time = clock.time(nowMs);
  const says = "messages reach this phone";
  return {
    id: `trial/${device.id}/${compactTime(nowMs)}`,
    ...{ person: device.person, flag: null, device: device.id, why: "trial", label: "act-now" },
    title: "TEST Messages reach this phone",
    body: `${time}\nNothing is wrong. Open it to see how it went.`,
    card: {
      ...{ number: null, station: "TEST", characteristic: null, says, value: null, against: null },
      ...{ run: null, runId: null, atMs: nowMs, time, doFirst: null, signals: 0 },
    },
    told: { label: "act-now", value: null, line: null, on: null, z: null },
    queuedMs: nowMs,
    expiresMs: nowMs + LIVES_MS,
  };
}
