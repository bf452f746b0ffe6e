/**
 * When a group of messages is committed. Each commit costs a sync of the disk, each wait holds back acknowledgements:
 * a sender with a small window (20 messages in Mosquitto's default) stands still meanwhile. Our own measurements.
 */
export const groupBounds = {
  /** Longest wait of a message. */
  waitMs: 50,
  /** Most readings and bytes in a group. */
  items: 4_000,
  bytes: 8 * 1_048_576,
  /** From so many messages or bytes on, a group that got none for `quietMs` is committed. */
  worthQuiet: { messages: 16, bytes: 16_384 },
  quietMs: 2,
  /** A group that begins this soon after a commit comes from a sender that waited for it: silence alone is enough then. */
  eagerMs: 5,
  /** One that begins this long after a commit is of senders with little to say: silence alone is enough as well. */
  idleMs: 100,
  /** From so many on, one turn of the event loop without a message is enough: a socket is read 64 KiB at a time. */
  worthTurn: { messages: 256, bytes: 32_768 },
} as const;
