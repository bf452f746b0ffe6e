import { existsSync, readFileSync } from "node:fs";

/** The version of the package that this file belongs to, whether it runs from dist/ or from the sources. */
export function productVersion(): string {
  let folder = new URL(".", import.meta.url);
  while (!existsSync(new URL("package.json", folder))) {
    const above = new URL("..", folder);
    if (above.href === folder.href) throw new RangeError(`no package.json above ${import.meta.url}`);
    folder = above;
  }
  return (JSON.parse(readFileSync(new URL("package.json", folder), "utf8")) as { version: string }).version;
}
