import { createInterface } from "node:readline";
import { hashPin, isPin, pinWords } from "../people/pin.ts";
import { UsageError } from "./usage-error.ts";
import { commandLine, type Verb } from "./verb.ts";

export const hashPinVerb: Verb = {
  form: "",
  summary: "turns a PIN into the line that stands for it in the settings",
  help: `Reads a PIN of ${pinWords} from standard input (it is not taken from the command line, where others could read it)
and prints the line for persons: pin: of the settings:

  read -rs PIN && printf %s "$PIN" | npm run -s steadypour -- hash-pin`,
  run: async (args, io) => {
    const { words } = commandLine(args, {});
    if (words.length > 0) throw new UsageError("found words on the command line, expected the PIN on standard input");
    const pin = await firstLine();
    if (!isPin(pin)) throw new UsageError(`found ${pin.length} characters that are no PIN, expected ${pinWords}`);
    io.print(await hashPin(pin));
  },
};

export async function firstLine(): Promise<string> {
  const lines = createInterface({ input: process.stdin });
  try {
    for await (const line of lines) return line.trim();
    return "";
  } finally {
    lines.close();
  }
}
