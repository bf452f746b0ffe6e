import { createServer, type Server, type Socket } from "node:net";
import { Aedes, type AuthenticateError, type Client } from "aedes";
import { isLinkTopic } from "../link/link-messages.ts";
import type { Clock } from "../platform/clock.ts";
import { Fault } from "../platform/fault.ts";
import { addressFault } from "./address-fault.ts";
import { type BrokerUsers, brokerUsers } from "./broker-users.ts";
import { LINK_USER, linkUsers } from "./link-users.ts";
import type { MessageHandler, MessageSource, RawMessage } from "./message-source.ts";
import { PublishGate } from "./publish-gate.ts";
import { Turns } from "./turns.ts";

export interface EmbeddedBrokerOptions {
  readonly host: string;
  /** 0 takes any free port: see `port`. */
  readonly port: number;
  readonly clock: Clock;
  /** Who may connect; left out, everybody, as on this machine alone. */
  readonly users?: BrokerUsers;
  /** Of a split product: with it its two processes come in, to the topics of the link, where nobody else may. */
  readonly linkKey?: string;
}

export interface EmbeddedBroker extends MessageSource {
  /** The port that it listens on, once started. */
  port(): number;
}

/** Longest that a subscriber may leave its socket full before it is cut off: one that is stuck must not stop the others. */
const DRAIN_TIMEOUT_MS = 10_000;
const CONNECT_TIMEOUT_MS = 10_000;
const MOST_CONNECTIONS = 1_000;
/** A group is committed within a fraction of this; longer, and the disk hangs: senders then send it again. */
const LAST_ACKS_MS = 2_000;
/** Larger than any message we take; what is larger still never gets read to its end. */
const MOST_PACKET_BYTES = 2 * 1_048_576;

/**
 * An MQTT 3.1.1 broker inside the product. A publisher gets its PUBACK once its message is on disk: what the gate takes
 * is acknowledged by it then, and for all else, while somebody listens too, the broker asks `authorizePublish` first
 * and we answer when the group is committed. It keeps no sessions.
 */
export function embeddedBroker(options: EmbeddedBrokerOptions): EmbeddedBroker {
  const { host, port, clock, linkKey } = options;
  const everybody = options.users ?? brokerUsers([], true);
  const users = linkKey === undefined ? everybody : linkUsers(everybody, linkKey);
  /** Whom each connection said it is, once that was shown; null for nobody in particular. */
  const names = new WeakMap<Client, string | null>();
  const gates = new WeakMap<Client, PublishGate>();
  const turns = new Turns();
  /** Those who listen: while there are any, all messages go through the library, which slows senders as they need it. */
  const hearers = new Set<Client>();
  const sockets = new Set<Socket>();
  let broker: Aedes | undefined;
  let server: Server | undefined;
  let unacknowledged = 0;
  let stopping = false;

  const openBroker = (handle: MessageHandler): Promise<Aedes> =>
    Aedes.createBroker({
      concurrency: 500,
      connectTimeout: CONNECT_TIMEOUT_MS,
      drainTimeout: DRAIN_TIMEOUT_MS,
      maxInflightInbound: 100,
      preConnect: (client, packet, done) => {
        // A session would hold messages in memory without bound for one that may never come back.
        packet.clean = true;
        // The library does not hear what the gate takes. Section 3.1.2.10: half as long again without a packet is the end.
        if (packet.keepalive !== undefined && packet.keepalive > 0) {
          gates.get(client)?.endAfterSilence(1_500 * packet.keepalive);
        }
        packet.keepalive = 0;
        done(null, true);
      },
      authenticate: (client, name, password, done) => {
        const refused = Object.assign(new Error("user and password do not go together"), { returnCode: 5 });
        users.admits(name, password).then(
          (admitted) => {
            if (admitted) names.set(client, name === undefined || name === "" ? null : name);
            if (admitted) done(null, true);
            else done(refused as AuthenticateError, null);
          },
          () => done(refused as AuthenticateError, null),
        );
      },
      authorizeSubscribe: (client, subscription, done) => {
        const { topic } = subscription;
        // Refused, and told so in the SUBACK; the connection goes on.
        const may = !topic.startsWith("$") && client !== null && users.mayHear(names.get(client) ?? null, topic);
        if (may && !isLinkTopic(topic)) hearers.add(client);
        done(null, may ? subscription : null);
      },
      // Whoever listens to everything does not hear the link.
      authorizeForward: (client, packet) =>
        isLinkTopic(packet.topic) && names.get(client) !== LINK_USER ? null : packet,
      // Also called for wills, and then the client may be gone (null): a will is a message like any other.
      authorizePublish: (client, packet, done) => {
        if (packet.topic.startsWith("$")) return done(new Error(`${packet.topic}: topics with $ are the broker's own`));
        if (!users.maySend((client === null ? null : names.get(client)) ?? null, packet.topic)) {
          return done(new Error(`${packet.topic}: that user may not send there`));
        }
        // Readings are not kept as last-known values: memory would grow with every topic made up.
        packet.retain = false;
        if (linkKey !== undefined && isLinkTopic(packet.topic)) return done(null);
        // Neither taken nor answered: it comes again at our next start.
        if (stopping && packet.qos > 0) return;
        unacknowledged += 1;
        const payload = typeof packet.payload === "string" ? Buffer.from(packet.payload) : packet.payload;
        const message = { topic: packet.topic, payload, receivedMs: clock.nowMs(), retained: false, qos: packet.qos };
        handle(message, (error) => {
          unacknowledged -= 1;
          // With an error the connection is closed unacknowledged, and the sender sends again.
          done(error ?? null);
        });
      },
    });

  return {
    start: async (handle) => {
      broker = await openBroker(handle);
      const { handle: serve } = broker;
      broker.on("clientReady", (client) => gates.get(client)?.open());
      broker.on("clientDisconnect", (client) => hearers.delete(client));
      server = createServer((socket) => {
        sockets.add(socket);
        socket.once("close", () => sockets.delete(socket));
        socket.setNoDelay(true);
        /** The topic that this sender was last found to be allowed. */
        let allowed = "";
        const take = (message: RawMessage, id: number): boolean => {
          const { topic, qos } = message;
          if (hearers.size > 0) return false;
          if (topic !== allowed) {
            // Whatever is wrong with it, the library's way says so.
            if (/^\$|[+#]/.test(topic) || isLinkTopic(topic) || !users.maySend(names.get(client) ?? null, topic))
              return false;
            allowed = topic;
          }
          if (stopping && qos > 0) return true;
          unacknowledged += 1;
          handle(message, (error) => {
            unacknowledged -= 1;
            if (error !== undefined) gate.destroy(error);
            else if (qos > 0) gate.acknowledge(id);
          });
          return true;
        };
        const gate = new PublishGate(
          { socket, protocolVersion: 4, clock, turns, tellsRetained: false, mostBytes: MOST_PACKET_BYTES, take },
          false,
        );
        const client: Client = serve(gate);
        gates.set(client, gate);
      });
      server.maxConnections = MOST_CONNECTIONS;
      try {
        await listening(server, host, port);
      } catch (error) {
        await closed(broker);
        throw addressFault(error, host, port, "STEADYPOUR_MQTT_PORT");
      }
    },
    status: () => ({
      connected: server?.listening === true,
      detail:
        server?.listening === true
          ? `listening on ${host}:${portOf(server)}, ${broker?.connectedClients ?? 0} connected`
          : "not listening",
      unacknowledged,
      reconnects: 0,
      broker: null,
    }),
    port: () => portOf(server),
    stop: async () => {
      stopping = true;
      for (let waited = 0; waited < LAST_ACKS_MS && unacknowledged > 0; waited += 10) {
        await new Promise((resolve) => setTimeout(resolve, 10));
      }
      const gone = server === undefined ? undefined : new Promise((resolve) => server?.close(resolve));
      if (broker !== undefined) await closed(broker);
      for (const socket of sockets) socket.destroy();
      await gone;
    },
  };
}

function listening(server: Server, host: string, port: number): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once("error", reject);
    server.listen(port, host, () => {
      server.off("error", reject);
      resolve();
    });
  });
}

function closed(broker: Aedes): Promise<void> {
  return new Promise((resolve) => broker.close(resolve));
}

function portOf(server: Server | undefined): number {
  const address = server?.address();
  if (typeof address !== "object" || address === null) {
    throw new Fault("not-listening", "the broker is not started", { retryable: false });
  }
  return address.port;
}
