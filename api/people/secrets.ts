import { createHash, randomBytes } from "node:crypto";
import { hash, verify } from "@node-rs/argon2";
import { Problem } from "../problem.ts";

/** OWASP's least for argon2id (from memory): 19 MiB, two passes. */
const cost = { memoryCost: 19_456, timeCost: 2, parallelism: 1 } as const;
/** Each hash takes 19 MiB and a core for a moment: more at once would let strangers take the machine. */
const AT_ONCE = 2;
const MOST_WAITING = 40;

let running = 0;
const waiting: (() => void)[] = [];

async function inTurn<T>(work: () => Promise<T>): Promise<T> {
  if (running >= AT_ONCE) {
    if (waiting.length >= MOST_WAITING) {
      throw new Problem(503, "too-busy", "too many people sign in at this moment: try again in a few seconds");
    }
    await new Promise<void>((go) => waiting.push(go));
  }
  running += 1;
  try {
    return await work();
  } finally {
    running -= 1;
    waiting.shift()?.();
  }
}

/** The argon2id line that stands for a password or PIN. */
export function hashSecret(text: string): Promise<string> {
  return inTurn(() => hash(text, cost));
}

/** A hash of nothing that anybody knows, made once. */
let nobodys: Promise<string> | null = null;

/**
 * Whether a secret is the one that was hashed. Where there is no hash it is reckoned against one that fits nothing, so that
 * the time says nothing of whether there is such a person.
 */
export async function secretMatches(hashed: string | null, text: string): Promise<boolean> {
  nobodys ??= hashSecret(randomBytes(24).toString("base64"));
  const against = hashed ?? (await nobodys);
  const matches = await inTurn(() => verify(against, text));
  return hashed !== null && matches;
}

/** Makes the first sign-in of nobody take as long as all others. */
export async function prepareSecrets(): Promise<void> {
  nobodys ??= hashSecret(randomBytes(24).toString("base64"));
  await nobodys;
}

/** 256 random bits for a cookie, a link or a key. */
export function newToken(): string {
  return randomBytes(32).toString("base64url");
}

/** What is kept of a token: it has too many bits to be guessed, so a plain hash is enough. */
export function tokenHash(token: string): string {
  return createHash("sha256").update(token).digest("hex");
}
