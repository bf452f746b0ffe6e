import { mkdirSync, writeFileSync } from "node:fs";
import { afterAll, expect } from "vitest";
import type { Path } from "./leaves.ts";
import { numberIn, valueAt } from "./leaves.ts";
import { publishedRecords } from "./published.ts";
import { LEDGER_FOLDER } from "./reference-folder.ts";
import type { Tolerance } from "./tolerance.ts";

/** A record whose numbers a test asserts. */
export interface ReferenceRecord {
  readonly id: string;
  /** For the test's name: what it is, where it comes from, and "from memory" where it does. */
  readonly title: string;
  /** What stands at a path, to compute from; it does not count as asserted. */
  get<T>(path: Path): T;
  /** Asserts that `actual` is the number at `path`, and counts it. */
  check(path: Path, actual: number, tolerance: Tolerance): void;
  /** Asserts a list of numbers, place by place. */
  checkAll(path: Path, actual: readonly number[], tolerance: Tolerance): void;
  /** Asserts a known misprint: not equal within `tolerance`, and off by at most `atMost`. */
  checkMisprint(path: Path, actual: number, tolerance: Tolerance, atMost: number): void;
}

/** What a test file says of one published file. */
export interface LedgerPage {
  readonly file: string;
  /** Paths of numbers that go in, so that nobody need assert them. */
  readonly inputs: readonly string[];
  readonly asserted: readonly string[];
}

let opened = 0;

/** Opens a published file; `inputs` are paths inside a record, `*` for any key, of numbers that are no results. */
export function reference(file: string, inputs: readonly string[]): readonly ReferenceRecord[] {
  const asserted: string[] = [];
  opened += 1;
  const name = `${file.replaceAll("/", "-")}-${process.pid}-${opened}-${Math.random().toString(36).slice(2)}.json`;
  afterAll(() => {
    mkdirSync(LEDGER_FOLDER, { recursive: true });
    const page: LedgerPage = { file, inputs, asserted };
    writeFileSync(LEDGER_FOLDER + name, JSON.stringify(page));
  });
  return publishedRecords(file).map(({ id, body }) => {
    const numberAt = (path: Path): number => {
      const number = numberIn(valueAt(body, path));
      if (number === null) throw new Error(`${file} ${id} has no number at ${path}`);
      asserted.push(`${id}\n${path}`);
      return number;
    };
    const record: ReferenceRecord = {
      id,
      title: titleOf(file, id, body),
      get: <T>(path: Path) => {
        const found = valueAt(body, path);
        if (found === undefined) throw new Error(`${file} ${id} has nothing at ${path}`);
        return found as T;
      },
      check(path, actual, tolerance) {
        const expected = numberAt(path);
        const off = Math.abs(actual - expected);
        // Written so that NaN fails.
        if (!(off <= tolerance.around(expected)))
          expect.fail(`${file} ${id} ${path}: got ${actual}, published ${expected}, allowed ${tolerance.words}`);
      },
      checkAll(path, actual, tolerance) {
        expect(actual.length, `${file} ${id} ${path}`).toBe(record.get<readonly unknown[]>(path).length);
        actual.forEach((value, i) => {
          record.check(`${path}.${i}`, value, tolerance);
        });
      },
      checkMisprint(path, actual, tolerance, atMost) {
        const printed = numberAt(path);
        const off = Math.abs(actual - printed);
        expect(off, `${file} ${id} ${path} is a misprint of ${actual}`).toBeGreaterThan(tolerance.around(printed));
        expect(off, `${file} ${id} ${path}`).toBeLessThanOrEqual(atMost);
      },
    };
    return record;
  });
}

function titleOf(file: string, id: string, body: unknown): string {
  const texts = Object.entries((body ?? {}) as Record<string, unknown>).filter(
    ([, value]) => typeof value === "string",
  );
  const source = texts.find(([key]) => key.startsWith("source"))?.[1];
  const memory = JSON.stringify(body).includes("from memory") ? " [from memory]" : "";
  const inputs = texts.filter(([key]) => !key.startsWith("source") && !key.startsWith("status"));
  const what = file.endsWith(".csv")
    ? inputs
        .map(([, value]) => value)
        .join(" ")
        .slice(0, 60)
    : "";
  return `${file} ${id} ${what}, ${String(source ?? "source in README.md").slice(0, 90)}${memory}`;
}
