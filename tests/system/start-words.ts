import { readFileSync } from "node:fs";

/** What `npm start` gives to node: its options, and the product. */
export const startWords: readonly string[] = (
  JSON.parse(readFileSync("package.json", "utf8")) as { readonly scripts: { readonly start: string } }
).scripts.start
  .replace("exec node ", "")
  .split(" ");

/** The options alone, for another program that stands for the product. */
export const startOptions: readonly string[] = startWords.slice(0, -1);
