import { createHash } from "node:crypto";
import { commonPasswordHashes } from "./common-password-hashes.ts";

const LEAST = 12;
const MOST = 128;

/** What a password must be like, in words. */
export const passwordWords: string = `${LEAST} to ${MOST} characters, such as four words that have nothing to do with each other`;

/** Begins of what is guessed first, of at least the length we ask for, when repeated or run on. */
const runs = [
  "abcdefghijklmnopqrstuvwxyz",
  "01234567890123456789",
  "qwertyuiopasdfghjklzxcvbnm",
  "qwertzuiopasdfghjklyxcvbnm",
];
/** Words that guessers begin with (from memory): none of them may make up most of a password. */
const guessed = [
  ...["password", "passw0rd", "passwort", "welcome", "letmein", "administrator", "admin", "qwerty", "iloveyou"],
  ...["steadypour", "foundry", "changeme", "dragon", "monkey", "football", "baseball", "sunshine", "princess"],
  ...["trustno1", "superman", "starwars", "whatever", "computer", "internet", "master", "secret", "default"],
];

/** Why a password would be guessed soon, or null. `about`: the person's and the site's own words. */
export function whyWeak(password: string, about: readonly string[]): string | null {
  const length = [...password].length;
  if (length < LEAST) return `it has ${length} characters, and at least ${LEAST} are needed`;
  if (length > MOST) return `it has ${length} characters, and at most ${MOST} are taken`;
  const low = password.toLowerCase();
  if (isCommon(low)) return "it is among the passwords that were stolen most often, which are tried first";
  if (new Set(low).size < 6) return "it is made of too few different characters";
  if (/^(.{1,10}?)\1+.{0,5}$/.test(low)) return "it repeats itself";
  let rest = low.replaceAll(/[^a-z0-9]/g, "");
  for (const word of [...guessed, ...about.flatMap(wordsIn)]) rest = rest.replaceAll(word, "");
  for (const run of runs) for (const part of partsOf(run)) rest = rest.replaceAll(part, "");
  rest = rest.replaceAll(/(19|20)\d\d/g, "");
  const others = low.replaceAll(/[\p{ASCII}]/gu, "");
  if (rest.length + others.length < 6)
    return "it is little more than words, names and rows of keys that are guessed first";
  return null;
}

/** So many bytes stand there of each hash; that a password of nobody's begins alike is one in a hundred million. */
const HASH_BYTES = 5;
let common: ReadonlySet<string> | null = null;

function isCommon(low: string): boolean {
  common ??= new Set(piecesOf(Buffer.from(commonPasswordHashes, "base64")));
  return common.has(
    createHash("sha256")
      .update(low)
      .digest("hex")
      .slice(0, 2 * HASH_BYTES),
  );
}

function piecesOf(bytes: Buffer): readonly string[] {
  const count = bytes.length / HASH_BYTES;
  return Array.from({ length: count }, (_, at) => bytes.toString("hex", at * HASH_BYTES, (at + 1) * HASH_BYTES));
}

function wordsIn(text: string): string[] {
  return text
    .toLowerCase()
    .split(/[^a-z0-9]+/)
    .filter((word) => word.length >= 4);
}

/** Stretches of five of a row of keys, both ways. */
function partsOf(run: string): string[] {
  const back = [...run].reverse().join("");
  return [run, back].flatMap((row) => Array.from({ length: row.length - 4 }, (_, at) => row.slice(at, at + 5)));
}
