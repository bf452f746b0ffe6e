import type { Database } from "better-sqlite3";
import type { Counts } from "../sample-store.ts";

const names = ["received", "acknowledged", "stored", "duplicate", "quarantined", "late"] as const;

export interface Counters {
  read(): Counts;
  /** Inside a transaction, last of all: what was counted is kept with what it counts. */
  save(counts: Counts): void;
  reload(): void;
}

export function counters(db: Database): Counters {
  const all = db.prepare<[], { name: string; value: number }>("SELECT name, value FROM counter");
  const put = db.prepare(
    "INSERT INTO counter (name, value) VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET value = excluded.value",
  );
  const load = (): Counts => {
    const kept = new Map(all.all().map(({ name, value }) => [name, value]));
    return Object.fromEntries(names.map((name) => [name, kept.get(name) ?? 0])) as Record<keyof Counts, number>;
  };
  let counts = load();
  return {
    read: () => counts,
    save: (next) => {
      for (const name of names) if (next[name] !== counts[name]) put.run(name, next[name]);
      counts = next;
    },
    reload: () => {
      counts = load();
    },
  };
}
