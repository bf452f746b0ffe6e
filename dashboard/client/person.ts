import { type Signal, signal } from "@preact/signals";

const key = "steadypour.person";

/** Id of whoever signed last with a PIN at this terminal, offered first the next time; empty until then. */
export const person: Signal<string> = signal(read());

export function remember(id: string): void {
  person.value = id;
  try {
    localStorage.setItem(key, id);
  } catch {
    // A browser that keeps nothing offers nobody first: no more is lost.
  }
}

function read(): string {
  try {
    return localStorage.getItem(key) ?? "";
  } catch {
    return "";
  }
}
