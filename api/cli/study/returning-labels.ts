/** Whether a label was there before, exactly, for millions of labels. */
export interface ReturningLabels {
  /** Takes the next label in, bytes from `start` to `end`; true when it was there before. */
  returns(bytes: Buffer, start: number, end: number): boolean;
}

/**
 * Labels that grow (shorter before longer, then by their bytes: numbers, dates, numbered names) cannot return, and
 * nothing is kept of them. Where one does not grow, `earlier` gives all labels before it once more, and from there on
 * a 64-bit hash of each is kept; a hash that is there already is settled by looking through the file again.
 */
export function returningLabels(earlier: (until: number) => Iterable<Buffer>): ReturningLabels {
  let last: Buffer = Buffer.alloc(0);
  let count = 0;
  let hashes: HashSet | null = null;

  return {
    returns: (bytes, start, end) => {
      if (hashes === null && isAfter(bytes, start, end, last)) {
        last = copied(last, bytes, start, end);
        count += 1;
        return false;
      }
      if (hashes === null) {
        hashes = new HashSet(count);
        for (const label of earlier(count)) hashes.add(label, 0, label.length);
      }
      const known = hashes.add(bytes, start, end) && isAmong(earlier(count), bytes.subarray(start, end));
      count += 1;
      return known;
    },
  };
}

/** The same for what cannot be read twice: every label is kept. */
export function rememberedLabels(): ReturningLabels {
  const seen = new Set<string>();
  return {
    returns: (bytes, start, end) => {
      const label = bytes.toString("latin1", start, end);
      const known = seen.has(label);
      seen.add(label);
      return known;
    },
  };
}

function isAmong(labels: Iterable<Buffer>, label: Buffer): boolean {
  for (const one of labels) if (one.equals(label)) return true;
  return false;
}

function isAfter(bytes: Buffer, start: number, end: number, last: Buffer): boolean {
  const longer = end - start - last.length;
  if (longer !== 0) return longer > 0;
  return bytes.compare(last, 0, last.length, start, end) > 0;
}

/** The label's bytes, in the room of the one before where they fit, so that nothing is set aside for each. */
function copied(room: Buffer, bytes: Buffer, start: number, end: number): Buffer {
  if (room.length !== end - start) return Buffer.from(bytes.subarray(start, end));
  bytes.copy(room, 0, start, end);
  return room;
}

/** Pairs of 32-bit hashes, open addressing; (0, 0) marks a free place. */
class HashSet {
  private table: Uint32Array<ArrayBuffer>;
  private used = 0;

  constructor(expected: number) {
    let places = 1024;
    while (places < expected * 2) places *= 2;
    this.table = new Uint32Array(places * 2);
  }

  /** True when the hash was there. */
  add(bytes: Buffer, start: number, end: number): boolean {
    let [a, b] = [0x811c9dc5, 0x9747b28c];
    for (let at = start; at < end; at++) {
      a = Math.imul(a ^ bytes[at]!, 0x01000193);
      b = Math.imul(b ^ bytes[at]!, 0x5bd1e995);
      b ^= b >>> 15;
    }
    a = Math.imul(a ^ (a >>> 16), 0x85ebca6b);
    if (this.used * 1.5 > this.table.length / 2) this.grow();
    const isNew = this.put((a ^ (a >>> 13)) >>> 0, (b | 1) >>> 0);
    if (isNew) this.used += 1;
    return !isNew;
  }

  private put(a: number, b: number): boolean {
    const mask = this.table.length / 2 - 1;
    for (let place = a & mask; ; place = (place + 1) & mask) {
      if (this.table[place * 2 + 1] === 0) {
        this.table[place * 2] = a;
        this.table[place * 2 + 1] = b;
        return true;
      }
      if (this.table[place * 2] === a && this.table[place * 2 + 1] === b) return false;
    }
  }

  private grow(): void {
    const old = this.table;
    this.table = new Uint32Array(old.length * 2);
    for (let at = 0; at < old.length; at += 2) if (old[at + 1] !== 0) this.put(old[at]!, old[at + 1]!);
  }
}
