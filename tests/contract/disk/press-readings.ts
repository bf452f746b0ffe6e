import { copyFileSync, existsSync } from "node:fs";
import { join } from "node:path";
import type { MqttClient } from "mqtt";
import { openSampleStore } from "../../../collector/store/embedded/embedded-sample-store.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { oneReading, readingsOf, T0 } from "../../unit/decode/decoding.ts";
import { places, pressure } from "../store/incoming.ts";

/** Sends so many readings of one press, each in a message, numbered by its value; gives those that were acknowledged. */
export function sendNumbered(client: MqttClient, from: number, count: number): ReadonlySet<number> {
  const acknowledged = new Set<number>();
  for (let n = from; n < from + count; n += 1) {
    const message = JSON.stringify(readingsOf(oneReading({ t: T0 - 3_600_000 + n, value: n })));
    const send = (): void => {
      client.publish("ostrimvale/GW-PR/readings", message, { qos: 1 }, (error) => {
        if (!error) acknowledged.add(n);
        // MQTT.js gives up on what it is handed while it sends its old messages again and the connection breaks.
        else if (!client.disconnecting) setTimeout(send, 50);
      });
    };
    send();
  }
  return acknowledged;
}

/** The numbers that are in the store of a folder; looks at a copy, so that it may be in use. */
export function storedNumbers(folder: string): ReadonlySet<number> {
  const copy = temporaryFolder();
  try {
    for (const name of ["readings.sqlite", "readings.sqlite-wal"]) {
      if (existsSync(join(folder, name))) copyFileSync(join(folder, name), join(copy.path, name));
    }
    const store = openSampleStore(copy.path, places);
    const found = store.read({ series: pressure, fromMs: 0, toMs: 2 * T0 }, { includeLate: true });
    store.close();
    return new Set(found.map(({ value }) => value ?? Number.NaN));
  } finally {
    copy.remove();
  }
}
