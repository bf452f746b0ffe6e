import { spawnSync } from "node:child_process";

/** Findings that cannot reach us, each with the reason. By the advisory's address. */
const answered: Readonly<Record<string, string>> = {};

interface Finding {
  readonly name: string;
  readonly severity: string;
  readonly via: readonly (string | { readonly url: string; readonly title: string })[];
}

/** Asks npm for advisories on what is installed, and says how that went. Ends with 1 for what has no answer. */
const { stdout } = spawnSync("npm", ["audit", "--json"], { encoding: "utf8", timeout: 120_000 });
const { vulnerabilities, message } = read(stdout);
if (vulnerabilities === undefined) {
  console.log(`advisories were not looked at: ${message ?? "the registry was not reached"}`);
} else {
  const found = Object.values(vulnerabilities).flatMap(({ name, severity, via }) =>
    via.flatMap((one) => (typeof one === "string" ? [] : [{ name, severity, ...one }])),
  );
  for (const { name, severity, title, url } of found) {
    console.log(`${name}, ${severity}: ${title} (${url}): ${answered[url] ?? "no answer"}`);
  }
  const open = found.filter(({ url }) => answered[url] === undefined).length;
  console.log(`${found.length} advisories, ${open} without an answer`);
  if (open > 0) process.exitCode = 1;
}

function read(text: string): {
  readonly vulnerabilities?: Readonly<Record<string, Finding>>;
  readonly message?: string;
} {
  try {
    return JSON.parse(text) as ReturnType<typeof read>;
  } catch {
    // npm itself failed before it asked; the caller says so.
    return {};
  }
}
