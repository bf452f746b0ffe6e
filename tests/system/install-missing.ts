import { spawnSync } from "node:child_process";
import { findCommand } from "./find-command.ts";
import { withoutServiceStarts } from "./without-service-starts.ts";

interface SystemNeed {
  readonly command: string;
  /** Debian package that it comes in, where that has another name. */
  readonly package?: string;
  readonly why: string;
  /** Service that the package brings along and we do not want. */
  readonly service?: string;
}

/** What the tests need of the system. */
export const systemNeeds: readonly SystemNeed[] = [
  { command: "chromium", why: "the browser tests drive the pages in it" },
  { command: "mosquitto", why: "the external broker is tested against a real one", service: "mosquitto" },
  {
    command: "influxd",
    package: "influxdb",
    why: "the long-term store is tested against a real one",
    service: "influxdb",
  },
  { command: "strace", why: "shows that a commit is on disk before its PUBACK is written" },
];

/**
 * Sees to it that all needs are there: installs what is missing when it is root and has apt, and otherwise answers
 * with the sentence that says what to do.
 */
export function installMissing(print: (line: string) => void): { readonly ok: boolean; readonly say: string } {
  const missing = systemNeeds.filter(({ command }) => findCommand(command) === undefined);
  if (missing.length === 0) return { ok: true, say: "" };
  const names = missing.map((need) => need.package ?? need.command);
  for (const { command, why } of missing) print(`missing: ${command} (${why})`);
  const line = `apt-get install -y --no-install-recommends ${names.join(" ")}`;
  const root = process.getuid?.() === 0;
  if (!root || findCommand("apt-get") === undefined) {
    return { ok: false, say: `Install what is missing, then run the tests again: sudo ${line}` };
  }
  print(`installing through apt: ${names.join(" ")}`);
  withoutServiceStarts(() => {
    // An image without package lists answers "unable to locate package", so these come first.
    if (!apt(["update"])) return;
    if (!apt(["install", "-y", "--no-install-recommends", ...names])) return;
    // Nor may it start by itself when the machine does.
    for (const { service } of missing) if (service !== undefined) unattended("update-rc.d", [service, "disable"]);
  });
  const still = missing
    .filter(({ command }) => findCommand(command) === undefined)
    .map((need) => need.package ?? need.command);
  return still.length === 0
    ? { ok: true, say: "" }
    : { ok: false, say: `apt could not install ${still.join(", ")}; what it said stands above. By hand: ${line}` };
}

function apt(words: readonly string[]): boolean {
  return unattended("apt-get", ["-q", ...words]);
}

function unattended(command: string, words: readonly string[]): boolean {
  const done = spawnSync(command, words, {
    stdio: ["ignore", "inherit", "inherit"],
    env: { ...process.env, DEBIAN_FRONTEND: "noninteractive" },
  });
  return done.status === 0;
}
