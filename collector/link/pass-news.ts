import type { Bus, BusTopic } from "../platform/bus.ts";

const topics: readonly BusTopic[] = ["samples", "journal"];

/**
 * Announcements of this process for the other one: those of one turn of the event loop are said once. What comes from
 * there is announced here by `announce`, and does not go back.
 */
export function passNews(
  bus: Bus,
  say: (topic: BusTopic) => void,
  which: readonly BusTopic[] = topics,
): { announce(topic: BusTopic): void; stop(): void } {
  let theirs = false;
  const owed = new Set<BusTopic>();
  const stops = which.map((topic) =>
    bus.on(topic, () => {
      if (theirs) return;
      if (owed.size === 0) {
        setImmediate(() => {
          const now = [...owed];
          owed.clear();
          for (const one of now) say(one);
        });
      }
      owed.add(topic);
    }),
  );
  return {
    announce: (topic) => {
      theirs = true;
      try {
        bus.announce(topic);
      } finally {
        theirs = false;
      }
    },
    stop: () => {
      for (const stop of stops) stop();
    },
  };
}
