import { readFileSync } from "node:fs";

/** What a few lines would do with the same file: cut it apart and make numbers of the second column. `node take-csv.js FILE`. */
const [file = ""] = process.argv.slice(2);
const lines = readFileSync(file, "utf8").split("\n");
const values = new Float64Array(lines.length - 2);
for (let i = 0; i < values.length; i++) values[i] = Number(lines[i + 1]!.split(",")[1]);
let sum = 0;
for (const value of values) sum += value;
console.log(sum / values.length);
