import { type Signal, signal } from "@preact/signals";

const key = "steadypour.night";

/** Night colours, chosen by a person for this device; never by the clock. */
export const night: Signal<boolean> = signal(false);

export function startPalette(): void {
  try {
    night.value = localStorage.getItem(key) === "yes";
  } catch {
    // A browser that keeps nothing starts by day.
  }
  put();
}

export function toggleNight(): void {
  night.value = !night.value;
  put();
  try {
    localStorage.setItem(key, night.value ? "yes" : "no");
  } catch {
    // Chosen for this visit only.
  }
}

function put(): void {
  document.documentElement.classList.toggle("night", night.value);
}
