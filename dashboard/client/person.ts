import { type Signal, signal } from "@preact/signals";

const key = "steadypour.name";

/** The name typed once on this device; empty until then. */
export const person: Signal<string> = signal(read());

export function remember(name: string): void {
  person.value = name.trim();
  try {
    localStorage.setItem(key, person.value);
  } catch {
    // A browser that keeps nothing asks for the name again next time: no more is lost.
  }
}

function read(): string {
  try {
    return localStorage.getItem(key) ?? "";
  } catch {
    return "";
  }
}
