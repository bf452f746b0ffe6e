import { readEnvironment } from "../../collector/platform/environment.ts";
import { Fault } from "../../collector/platform/fault.ts";
import { openJournalFile } from "../../collector/store/embedded/embedded-journal.ts";
import { UsageError } from "./usage-error.ts";
import { commandLine, type Verb } from "./verb.ts";

export const verifyRecord: Verb = {
  form: "[--head HASH] [--data FOLDER]",
  summary: "checks that no row of the Change Record was changed, taken out or put in",
  help: `Computes the hash of every row anew and follows them from the first to the newest; names the first row that is not
as it was written. With --head, the hash that stands on a printed page or an export, it also checks that the record still
holds the row of that hash: rows cut off at the end show in no other way.

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
      io.print(`${verified.rows} rows, none changed; head ${verified.head}`);
    } finally {
      journal.close();
    }
  },
};
