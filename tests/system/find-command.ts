import { accessSync, constants } from "node:fs";
import { delimiter, join } from "node:path";

/** Debian keeps servers in sbin, which is not on every user's PATH. */
const alsoLookIn = ["/usr/local/sbin", "/usr/sbin", "/sbin"];

/** Full path of a program, or undefined when it is not on this machine. */
export function findCommand(name: string): string | undefined {
  const folders = [...(process.env["PATH"] ?? "").split(delimiter), ...alsoLookIn].filter((folder) => folder !== "");
  return folders.map((folder) => join(folder, name)).find(isExecutable);
}

/** Full path of a program that a test cannot do without, of the Debian package of that name or another. */
export function requireCommand(name: string, packageName: string = name): string {
  const path = findCommand(name);
  if (path === undefined) throw new Error(`${name} is not on this machine: apt-get install ${packageName}`);
  return path;
}

function isExecutable(path: string): boolean {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}
