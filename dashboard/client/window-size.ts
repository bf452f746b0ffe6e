import { type Signal, signal } from "@preact/signals";

/** The window, for drawings that must know their own size in pixels. */
export const windowSize: Signal<{ readonly width: number; readonly height: number }> = signal(measured());

/** Narrower than this the pages are one column. */
export const phoneWidth = 760;

function measured(): { readonly width: number; readonly height: number } {
  return { width: document.documentElement.clientWidth, height: window.innerHeight };
}

window.addEventListener("resize", () => {
  windowSize.value = measured();
});
