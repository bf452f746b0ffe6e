import { hashSecret } from "./secrets.ts";

/** What a PIN must look like, in words. */
export const pinWords = "4 to 12 digits";

export function isPin(text: string): boolean {
  return /^\d{4,12}$/.test(text);
}

/** The line that stands for a PIN in the settings. */
export function hashPin(pin: string): Promise<string> {
  if (!isPin(pin)) throw new RangeError(`a PIN has ${pinWords}`);
  return hashSecret(pin);
}
