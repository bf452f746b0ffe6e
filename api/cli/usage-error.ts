/** The command was not understood, or what it was given is wrong: one line a mistake, exit 2. */
export class UsageError extends Error {
  override readonly name = "UsageError";
  constructor(mistakes: readonly string[] | string) {
    super(typeof mistakes === "string" ? mistakes : mistakes.join("\n"));
  }
}
