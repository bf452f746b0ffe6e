import { spawnSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { readEnvironment } from "../../collector/platform/environment.ts";
import { findCommand } from "../system/find-command.ts";
import { startOptions, startWords } from "../system/start-words.ts";
import { temporaryFolder } from "../temporary-folder.ts";

// Checked as text, and by systemd's own check where there is one: no systemd has run it here.
const text = readFileSync("collector/platform/steadypour.service", "utf8");
const lines = text.split("\n").filter((line) => line !== "" && !line.startsWith("#") && !line.startsWith("["));
const all = (key: string): string[] =>
  lines.filter((line) => line.startsWith(`${key}=`)).map((l) => l.slice(key.length + 1));
const one = (key: string): string | undefined => all(key)[0];

test("it starts what npm start starts, with variables that the product knows", () => {
  expect(one("ExecStart")).toMatch(
    new RegExp(`^/\\S+/node ${[...startOptions, `/\\S+/${startWords.at(-1)}`].join(" ")}$`),
  );
  const named = [...text.matchAll(/\b(STEADYPOUR_\w+)=(\S+)/g)].map(([, name, value]) => [name!, value!] as const);
  expect(named.map(([name]) => name)).toContain("STEADYPOUR_BROKER_PASSWORD_FILE");
  const environment = readEnvironment({ ...Object.fromEntries(named) });
  expect(environment.dataFolder).toBe(`/var/lib/${one("StateDirectory")}`);
});

test("a mistake in the settings is not tried again, all else is, and it has the time to stop that it takes", () => {
  expect([one("Restart"), one("RestartPreventExitStatus")]).toEqual(["on-failure", "2"]);
  const stopWithinS = Number(/stopWithinMs = (\d+)_000/.exec(readFileSync("api/main.ts", "utf8"))?.[1]);
  expect(Number(one("TimeoutStopSec"))).toBeGreaterThan(stopWithinS);
  expect(one("KillMode")).toBe("mixed");
});

test("it has a user of its own, no capability, and may write into its data folder alone", () => {
  for (const line of [
    "DynamicUser=yes",
    "CapabilityBoundingSet=",
    "NoNewPrivileges=yes",
    "ProtectSystem=strict",
    "ProtectHome=yes",
    "PrivateTmp=yes",
    "PrivateDevices=yes",
    "RestrictNamespaces=yes",
    "SystemCallFilter=@system-service",
    "RestrictAddressFamilies=AF_INET AF_INET6 AF_UNIX",
  ]) {
    expect(lines).toContain(line);
  }
  expect(all("ReadWritePaths")).toEqual([]);
  // V8 writes the code that it runs.
  expect(all("MemoryDenyWriteExecute")).toEqual([]);
});

const analyze = findCommand("systemd-analyze");
if (analyze !== undefined) {
  test("systemd's own check has nothing to say, and calls its exposure low", () => {
    const folder = temporaryFolder();
    try {
      const file = join(folder.path, "steadypour.service");
      // The check wants programs that are there; all else stands as it is.
      writeFileSync(file, text.replace("/usr/bin/node ", `${process.execPath} `));
      const verified = spawnSync(analyze, ["verify", "--man=no", file], { encoding: "utf8" });
      // It may complain of other units of this machine.
      const said = `${verified.stdout}${verified.stderr}`.split("\n").filter((line) => line.includes("steadypour"));
      expect(said).toEqual([]);
      expect(verified.status).toBe(0);
      const version = /^systemd (\d+)/.exec(spawnSync(analyze, ["--version"], { encoding: "utf8" }).stdout)?.[1];
      // Before that it judges only units that are loaded.
      if (Number(version) < 250) return;
      const judged = spawnSync(analyze, ["security", "--offline=true", "--threshold=25", file], { encoding: "utf8" });
      expect(judged.status, judged.stdout).toBe(0);
    } finally {
      folder.remove();
    }
  });
}
