import { readFileSync } from "node:fs";

/** What `npm start` gives to node beside the product: whoever else starts it does so alike. */
export function startOptions(packageFile: string): readonly string[] {
  return startWords(packageFile).slice(0, -1);
}

/** The options and the product itself. */
export function startWords(packageFile: string): readonly string[] {
  const { scripts } = JSON.parse(readFileSync(packageFile, "utf8")) as { readonly scripts: { readonly start: string } };
  return scripts.start.replace("exec node ", "").split(" ");
}
