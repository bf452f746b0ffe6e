import { systemClock } from "../../collector/platform/clock.ts";
import { readEnvironment } from "../../collector/platform/environment.ts";
import { productVersion } from "../../collector/platform/product-version.ts";
import { backUp, type CopiedFiles } from "../../collector/store/embedded/back-up.ts";
import { commandLine, oneFile, type Verb } from "./verb.ts";

export const backup: Verb = {
  form: "FOLDER [--data DATA]",
  summary: "copies readings and journal into an empty folder, while the product runs",
  help: `Copies the readings and the journal of DATA into FOLDER, which must be empty or new. The product may run meanwhile: each
file is copied as it stands at one moment, and nothing waits but the clearing of its write-ahead log. backup.json in
FOLDER, written last, holds the hash of each file. The settings file is yours to keep beside it, and so is the key
vapid.pem of DATA where phones are told: it is a secret, and without it each phone has to be set up anew.

DATA defaults to STEADYPOUR_DATA. Try a restore now and then: steadypour restore FOLDER --data NEW.`,
  run: async (args, io) => {
    const { values, words } = commandLine(args, { data: { type: "string" } });
    const target = oneFile(words);
    const at = new Date(systemClock.nowMs()).toISOString();
    const data = values.data ?? readEnvironment(process.env).dataFolder;
    for (const line of copiedLines(await backUp(data, target, { at, product: productVersion() }))) io.print(line);
    io.print(`backed up ${data} into ${target}`);
  },
};

export function copiedLines(files: CopiedFiles): readonly string[] {
  return files.map(({ name, bytes }) => `${name.padEnd(16)} ${(bytes / 1e6).toFixed(1).padStart(10)} MB`);
}
