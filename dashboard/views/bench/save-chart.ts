import { ask } from "../../client/ask.ts";
import { paths } from "../../client/paths.ts";

/** Number and hash of the newest row of the Change Record; null where it is not to be had, which keeps nobody from saving. */
export async function recordHead(): Promise<string | null> {
  try {
    const { n, hash } = await ask<{ readonly n: number; readonly hash: string }>(paths.recordHead);
    return `row ${n} ${hash}`;
  } catch {
    // Not reached, or not for this screen: the export is the same without.
    return null;
  }
}

/** Hands a text to the browser as a file to keep. */
export function saveText(text: string, name: string, type: string): void {
  const url = URL.createObjectURL(new Blob([text], { type }));
  const link = document.createElement("a");
  link.href = url;
  link.download = name;
  link.click();
  // The browser has begun to read it by then.
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}

const kept = [
  "fill",
  "fill-opacity",
  "stroke",
  "stroke-width",
  "stroke-dasharray",
  "stroke-linecap",
  "stroke-linejoin",
  "font-family",
  "font-size",
  "font-weight",
  "paint-order",
  "opacity",
] as const;

/** The drawing as a picture that stands alone: every mark carries the style it has on the page, on the page's ground. */
export function svgText(drawn: SVGSVGElement, recordHead: string | null): string {
  const copy = drawn.cloneNode(true) as SVGSVGElement;
  const from = [drawn, ...drawn.querySelectorAll("*")];
  const to = [copy, ...copy.querySelectorAll("*")];
  from.forEach((element, at) => {
    const style = getComputedStyle(element);
    const target = to[at]!;
    for (const name of kept) target.setAttribute(name, style.getPropertyValue(name));
    target.removeAttribute("class");
  });
  copy.removeAttribute("aria-hidden");
  const ground = document.createElementNS("http://www.w3.org/2000/svg", "rect");
  ground.setAttribute("width", "100%");
  ground.setAttribute("height", "100%");
  ground.setAttribute("fill", getComputedStyle(document.documentElement).getPropertyValue("--panel").trim());
  copy.insertBefore(ground, copy.firstChild);
  if (recordHead !== null) {
    const metadata = document.createElementNS("http://www.w3.org/2000/svg", "metadata");
    metadata.textContent = `Change Record: ${recordHead}`;
    copy.insertBefore(metadata, copy.firstChild);
  }
  return new XMLSerializer().serializeToString(copy);
}
