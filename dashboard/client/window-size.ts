import { type Signal, signal } from "@preact/signals";

/** The window, for drawings that must know their own size in pixels. */
export const windowSize: Signal<{ readonly width: number; readonly height: number }> = signal(measured());

/** Narrower than this the pages are one column. */
export const phoneWidth = 760;

/** Height of one flag's line in the Floor's band, and how many lines the band keeps; the style sheet says the same. */
export const rowHeight = 56;
export function bandRows(height: number): number {
  return height >= 1_000 ? 4 : 3;
}

function measured(): { readonly width: number; readonly height: number } {
  return { width: document.documentElement.clientWidth, height: window.innerHeight };
}

window.addEventListener("resize", () => {
  windowSize.value = measured();
});
