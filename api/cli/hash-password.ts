import { passwordWords, whyWeak } from "../people/password.ts";
import { hashSecret } from "../people/secrets.ts";
import { firstLine } from "./hash-pin.ts";
import { UsageError } from "./usage-error.ts";
import { commandLine, type Verb } from "./verb.ts";

export const hashPasswordVerb: Verb = {
  form: "",
  summary: "turns a sender's password into the line that stands for it in the settings",
  help: `Reads a password of ${passwordWords} from standard input (it is not taken from the command line, where others could read it)
and prints the line for doors: mqtt: password: of the settings:

  read -rs PASSWORD && printf %s "$PASSWORD" | npm run -s steadypour -- hash-password`,
  run: async (args, io) => {
    const { words } = commandLine(args, {});
    if (words.length > 0) throw new UsageError("found words on the command line, expected it on standard input");
    const password = await firstLine();
    const weak = whyWeak(password, []);
    if (weak !== null) throw new UsageError(`the password is refused: ${weak}`);
    io.print(await hashSecret(password));
  },
};
