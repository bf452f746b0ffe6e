import { readEnvironment } from "../../collector/platform/environment.ts";
import { Fault } from "../../collector/platform/fault.ts";
import type { ChangeRecord } from "../../collector/store/change-record.ts";
import { openJournalFile } from "../../collector/store/embedded/embedded-journal.ts";
import type { Journal } from "../../collector/store/journal.ts";
import { againstEachOther, decidedKinds } from "../record-and-journal.ts";
import { UsageError } from "./usage-error.ts";
import { commandLine, type Verb } from "./verb.ts";

export const verifyRecord: Verb = {
  form: "[--head HASH] [--data FOLDER]",
  summary: "checks that no row of the Change Record was changed, taken out or put in",
  help: `Computes the hash of every row anew and follows them from the first to the newest; names the first row that is not
as it was written. With --head, the hash that stands on a printed page or an export, it also checks that the record still
holds the row of that hash: rows cut off at the end show in no other way.

Then it holds the rows against what the journal says that people decided: a row without its entry, or an entry without its
row, is named.

  --data    defaults to STEADYPOUR_DATA`,
  run: async (args, io) => {
    const { values, words } = commandLine(args, { head: { type: "string" }, data: { type: "string" } });
    if (words.length > 0) throw new UsageError(`found ${words[0]}, expected options only`);
    const head = values.head?.trim().toLowerCase();
    if (head !== undefined && !/^[0-9a-f]{64}$/.test(head)) {
      throw new UsageError("--head: expected the 64 digits of a hash");
    }
    const { journal, record } = openJournalFile(values.data ?? readEnvironment(process.env).dataFolder);
    try {
      const verified = record.verify();
      if (!verified.ok) throw new Fault("record-damaged", verified.why, { retryable: false });
      if (head !== undefined && !record.has(head)) {
        const words = "no row has that hash: rows were cut off, or it is of another record";
        throw new Fault("record-damaged", words, { retryable: false });
      }
      holdAgainst(journal, record);
      io.print(`${verified.rows} rows, none changed, and the journal says the same; head ${verified.head}`);
    } finally {
      journal.close();
    }
  },
};

/** More are counted and not named. */
const MOST_NAMED = 10;

function holdAgainst(journal: Journal, record: ChangeRecord): void {
  const rows = record.read({ limit: record.head().n });
  const { rows: alone, entries } = againstEachOther(rows, journal.read({ kinds: decidedKinds }));
  const named = [
    ...alone.map(({ n, of }) => `row ${n} (${of}) speaks of something that the journal does not hold so`),
    ...entries.map(({ id, kind }) => `no row speaks of the journal's ${kind} ${id} as it stands there`),
  ];
  if (named.length === 0) return;
  const more = named.length > MOST_NAMED ? [`and ${named.length - MOST_NAMED} more`] : [];
  throw new Fault("record-damaged", [...named.slice(0, MOST_NAMED), ...more].join("; "), { retryable: false });
}
