import type { IncomingMessage } from "node:http";

const browsers: readonly (readonly [RegExp, string])[] = [
  [/Edg\//, "Edge"],
  [/OPR\//, "Opera"],
  [/Firefox\//, "Firefox"],
  [/Chrom(e|ium)\//, "Chromium"],
  [/Safari\//, "Safari"],
];
const systems: readonly (readonly [RegExp, string])[] = [
  [/Android/, "Android"],
  [/iPhone|iPad/, "iOS"],
  [/Windows/, "Windows"],
  [/Mac OS X/, "macOS"],
  [/Linux/, "Linux"],
];

/** `Chromium on Android, 10.3.1.7`: of what a browser says of itself only what is known here, for it may say anything. */
export function deviceWords(request: IncomingMessage): string {
  const agent = request.headers["user-agent"] ?? "";
  const of = (list: typeof browsers): string | undefined => list.find(([known]) => known.test(agent))?.[1];
  const system = of(systems);
  const browser = of(browsers) ?? "a program";
  const address = request.socket.remoteAddress?.replace(/^::ffff:/, "") ?? "an unknown address";
  return `${browser}${system === undefined ? "" : ` on ${system}`}, ${address}`;
}
