import type { Database } from "better-sqlite3";

/** Numbers that stand for series names in the tables; given once, never again to another name. */
export interface SeriesIds {
  find(name: string): number | undefined;
  /** Name behind a number that a table holds. */
  name(id: number): string;
  /** All names, in no order. */
  names(): readonly string[];
  /** Inside a transaction only: a new number must be kept together with what uses it. */
  make(name: string): number;
  /** After a transaction that was undone: what it made is forgotten. */
  reload(): void;
}

export function seriesIds(db: Database): SeriesIds {
  const all = db.prepare<[], { id: number; name: string }>("SELECT id, name FROM series");
  const insert = db.prepare("INSERT INTO series (name) VALUES (?)");
  const known = new Map<string, number>();
  const byId = new Map<number, string>();
  const keep = (name: string, id: number): void => {
    known.set(name, id);
    byId.set(id, name);
  };
  const reload = (): void => {
    known.clear();
    byId.clear();
    for (const { id, name } of all.iterate()) keep(name, id);
  };
  reload();
  return {
    find: (name) => known.get(name),
    name: (id) => {
      const found = byId.get(id);
      if (found === undefined) throw new RangeError(`no series has the number ${id}`);
      return found;
    },
    names: () => [...known.keys()],
    make: (name) => {
      const id = known.get(name) ?? Number(insert.run(name).lastInsertRowid);
      keep(name, id);
      return id;
    },
    reload,
  };
}
