import type { SeenPacket } from "../contract/wire-tap.ts";
import type { StreamMessage } from "./plant-stream.ts";

/** Where the stream comes from: into our own broker, or from a Mosquitto that we subscribe to. */
export type Way = "embedded" | "mosquitto";

export interface OwnAcks {
  /** Places in the stream of the messages that the product acknowledged, in the order of the acknowledgements. */
  readonly places: readonly number[];
  note(packet: SeenPacket): void;
}

const [PUBLISH, PUBACK] = [3, 4];

/**
 * Reads off the wire what the product acknowledged: those are the acknowledgements that it sent, whether or not anyone
 * received them. The tap stands before the broker that is the product, or between the product and its broker.
 */
export function ownAcks(way: Way, stream: readonly StreamMessage[]): OwnAcks {
  const us = way === "mosquitto" ? "client" : "broker";
  const placeOf = new Map(stream.map(({ payload }, place) => [payload, place]));
  const byId = new Map<number, number>();
  const places: number[] = [];
  return {
    places,
    note: ({ from, type, qos, id, payload }) => {
      if (id === null) return;
      const place = type === PUBLISH && qos === 1 && from !== us ? placeOf.get(payload.toString()) : undefined;
      if (place !== undefined) byId.set(id, place);
      const acknowledged = type === PUBACK && from === us ? byId.get(id) : undefined;
      if (acknowledged !== undefined) places.push(acknowledged);
    },
  };
}
