import { connect, type MqttClient } from "mqtt";

/** Sends messages at QoS 1 and keeps only so many unacknowledged. */
export interface Publisher {
  /** Resolves when there is room for the next one, or at the stop; `acknowledged` is called once the broker has it. */
  send(topic: string, payload: string, acknowledged: () => void): Promise<void>;
  /** Resolves when everything sent is acknowledged, or the time is up. */
  drained(withinMs: number): Promise<boolean>;
  close(): Promise<void>;
}

const mostMessages = 256;
const mostBytes = 4_000_000;
/** Long enough for a broken connection to be noticed, short enough to keep near the place in the stream. */
const againAfterMs = 50;

/**
 * One connection for all gateways. What is unacknowledged is sent again when the broker is back, by the client or, where
 * it gives up, by us; a broker that is away only holds the plant up. Only a client that is being closed leaves a message
 * unacknowledged: then it is sent at the next start.
 */
export function publisher(url: string, say: (words: string) => void, stop: AbortSignal): Publisher {
  const client = connect(url, {
    protocolVersion: 4,
    clientId: `simulated-plant-${process.pid}`,
    reconnectPeriod: 1000,
    reconnectOnConnackError: true,
    keepalive: 30,
  });
  tellOfConnection(client, url.replace(/\/\/[^/@]*@/, "//"), say);
  let messages = 0;
  let bytes = 0;
  let waiting: (() => void)[] = [];
  const full = (): boolean => messages >= mostMessages || bytes >= mostBytes;
  const wake = (): void => {
    const woken = waiting;
    waiting = [];
    for (const go of woken) go();
  };
  stop.addEventListener("abort", wake);
  const send = async (topic: string, payload: string, acknowledged: () => void): Promise<void> => {
    messages += 1;
    bytes += payload.length;
    const settled = (): void => {
      messages -= 1;
      bytes -= payload.length;
      wake();
    };
    const publish = (): void => {
      client.publish(topic, payload, { qos: 1 }, (error) => {
        if (error == null) {
          acknowledged();
          settled();
        } else if (client.disconnecting) settled();
        // MQTT.js gives up on what it is handed while it sends old messages again and the connection breaks once more.
        else setTimeout(publish, againAfterMs);
      });
    };
    publish();
    while (full() && !stop.aborted) await new Promise<void>((go) => waiting.push(go));
  };
  const drained = async (withinMs: number): Promise<boolean> => {
    const until = performance.now() + withinMs;
    const tick = setInterval(wake, 100);
    while (messages > 0 && performance.now() < until) await new Promise<void>((go) => waiting.push(go));
    clearInterval(tick);
    return messages === 0;
  };
  return { send, drained, close: () => client.endAsync(true) };
}

/** Says when the broker answers and when it does not, once each. */
function tellOfConnection(client: MqttClient, where: string, say: (words: string) => void): void {
  let told = "";
  const once = (words: string): void => {
    if (words !== told) say(words);
    told = words;
  };
  client.on("connect", () => once(`connected to ${where}`));
  client.on("error", (error) => {
    const reason = error.message || (error as NodeJS.ErrnoException).code || "no reason given";
    once(`no connection to ${where} (${reason}); trying again every second`);
  });
  client.on("offline", () => {
    if (told.startsWith("connected")) once(`${where} is gone; trying again every second`);
  });
}
