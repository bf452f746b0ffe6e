/** Topics that parts of one process tell each other of. */
export type BusTopic = "samples" | "journal";

/** Tells other parts that something was written. Losing an announcement loses no data. */
export interface Bus {
  announce(topic: BusTopic): void;
  /** Returns how to stop listening. */
  on(topic: BusTopic, listener: () => void): () => void;
}

export function memoryBus(): Bus {
  const listeners = new Map<BusTopic, Set<() => void>>();
  return {
    announce: (topic) => {
      for (const listener of listeners.get(topic) ?? []) listener();
    },
    on: (topic, listener) => {
      const set = listeners.get(topic) ?? new Set();
      listeners.set(topic, set.add(listener));
      return () => set.delete(listener);
    },
  };
}
