import * as start from "../../simulator/start-options.ts";

/** What `npm start` gives to node: its options, and the product. */
export const startWords: readonly string[] = start.startWords("package.json");

/** The options alone, for another program that stands for the product. */
export const startOptions: readonly string[] = start.startOptions("package.json");
