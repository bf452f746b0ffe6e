import { createHash } from "node:crypto";
import { readFileSync, realpathSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";

/** How far into a file an import came, all before it being on disk. */
export interface ImportPoint {
  readonly offset: number;
  readonly line: number;
  /** Bad lines' mistakes so far. */
  readonly bad: number;
}

export interface ImportPoints {
  read(): ImportPoint | null;
  save(point: ImportPoint): void;
  remove(): void;
}

/**
 * The point of one file, kept in the data folder that it is taken into: a new or restored folder knows of none, so
 * nothing is passed over that is not there. `mark` is what must be the same to go on: size, time, options.
 */
export function importPoints(folder: string, file: string, mark: unknown): ImportPoints {
  const id = createHash("sha256").update(realpathSync(file)).digest("hex").slice(0, 16);
  const path = join(folder, `import-${id}.json`);
  const marked = JSON.stringify(mark);
  return {
    read: () => {
      try {
        const kept = JSON.parse(readFileSync(path, "utf8")) as ImportPoint & { readonly marked: string };
        return kept.marked === marked ? { offset: kept.offset, line: kept.line, bad: kept.bad } : null;
      } catch {
        // None, or one that is damaged: from the beginning then, which adds nothing twice.
        return null;
      }
    },
    save: (point) => {
      writeFileSync(`${path}.new`, JSON.stringify({ ...point, file, marked }));
      renameSync(`${path}.new`, path);
    },
    remove: () => rmSync(path, { force: true }),
  };
}
