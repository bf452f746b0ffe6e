import { readEnvironment } from "../../collector/platform/environment.ts";
import { restore as restoreFolder } from "../../collector/store/embedded/back-up.ts";
import { copiedLines } from "./backup.ts";
import { commandLine, oneFile, type Verb } from "./verb.ts";

export const restore: Verb = {
  form: "FOLDER [--data DATA]",
  summary: "puts a backup into an empty data folder",
  help: `Checks every byte of the backup in FOLDER and copies it into DATA, which must be empty or new: nothing is ever
overwritten. A backup of a later version of the product is refused. Start the product on DATA afterwards: it goes on
from where the backup stood, and senders that kept their messages send them again.

DATA defaults to STEADYPOUR_DATA.`,
  run: async (args, io) => {
    const { values, words } = commandLine(args, { data: { type: "string" } });
    const from = oneFile(words);
    const data = values.data ?? readEnvironment(process.env).dataFolder;
    for (const line of copiedLines(await restoreFolder(from, data))) io.print(line);
    io.print(`restored ${from} into ${data}`);
  },
};
