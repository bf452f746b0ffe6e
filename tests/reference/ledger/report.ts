import { existsSync, readdirSync, readFileSync } from "node:fs";
import { isUnder, leaves } from "./leaves.ts";
import { publishedRecords } from "./published.ts";
import type { LedgerPage } from "./reference.ts";
import { LEDGER_FOLDER } from "./reference-folder.ts";

const DATA = "tests/reference/data/published/";
/** Records that no test asserts whole, each with its reason. */
const REASONS = "tests/reference/untested.json";

process.exitCode = report();

/** Adds up what the reference tests asserted; 1 when a record is left out without a reason, or a reason is stale. */
function report(): number {
  const pages = readPages();
  const reasons = JSON.parse(readFileSync(REASONS, "utf8")) as Record<string, string>;
  let values = 0;
  const untested = new Map<string, string>();
  for (const file of publishedFiles()) {
    const own = pages.filter((page) => page.file === file);
    const inputs = own.flatMap((page) => page.inputs);
    const asserted = new Set(own.flatMap((page) => page.asserted));
    values += asserted.size;
    for (const { id, body } of publishedRecords(file)) {
      const missing = leaves(body)
        .filter(({ path }) => !isUnder(path, inputs) && !asserted.has(`${id}\n${path}`))
        .map(({ path }) => path);
      if (missing.length > 0) untested.set(`${file} ${id}`, missing.join(" "));
    }
  }
  const unexplained = [...untested].filter(([record]) => !(reasonFor(record, reasons) in reasons));
  const stale = Object.keys(reasons).filter((key) => ![...untested.keys()].some((record) => record.startsWith(key)));
  for (const [record, missing] of unexplained.slice(0, 60))
    console.log(`  no test and no reason: ${record}: ${missing.slice(0, 200)}`);
  for (const record of stale) console.log(`  a reason for what is tested: ${record}`);
  console.log(`${values} external values checked, ${untested.size} records without a test`);
  return unexplained.length + stale.length > 0 ? 1 : 0;
}

/** A reason may stand for one record, or for all whose name begins so. */
function reasonFor(record: string, reasons: Readonly<Record<string, string>>): string {
  return Object.keys(reasons).find((key) => record.startsWith(key)) ?? record;
}

function publishedFiles(): readonly string[] {
  return readdirSync(DATA).filter((name) => name.endsWith(".csv") || name.endsWith(".json"));
}

function readPages(): readonly LedgerPage[] {
  if (!existsSync(LEDGER_FOLDER)) return [];
  return readdirSync(LEDGER_FOLDER).map((name) => JSON.parse(readFileSync(LEDGER_FOLDER + name, "utf8")) as LedgerPage);
}
