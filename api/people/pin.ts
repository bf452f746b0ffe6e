import { hash, verify } from "@node-rs/argon2";

/** OWASP's least for argon2id (from memory): 19 MiB, two passes. */
const cost = { memoryCost: 19_456, timeCost: 2, parallelism: 1 } as const;

/** What a PIN must look like, in words. */
export const pinWords = "4 to 12 digits";

export function isPin(text: string): boolean {
  return /^\d{4,12}$/.test(text);
}

/** The line that stands for a PIN in the settings. */
export function hashPin(pin: string): Promise<string> {
  if (!isPin(pin)) throw new RangeError(`a PIN has ${pinWords}`);
  return hash(pin, cost);
}

/** Whether a PIN is the one that was hashed. */
export function pinMatches(hashed: string, pin: string): Promise<boolean> {
  return verify(hashed, pin);
}
