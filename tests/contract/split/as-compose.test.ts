import { execFileSync } from "node:child_process";
import { cpSync, mkdirSync, readdirSync, readFileSync, statSync, symlinkSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { expect, test } from "vitest";
import { parse } from "yaml";
import { eventually } from "../../eventually.ts";
import { partOfDemo } from "../../part-of-demo.ts";
import { findCommand } from "../../system/find-command.ts";
import { freePort } from "../../system/free-port.ts";
import { type RunningProcess, start } from "../../system/running-process.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { type InfluxServer, influxdb } from "../influxdb.ts";
import { mosquitto } from "../mosquitto.ts";

// The commands, variables and health checks of docker-compose.yml and the Dockerfile, started outside containers over a
// tree that cannot be written. Paths, hosts and ports are those of this machine; all else is as it stands there.
const compose = parse(readFileSync("docker-compose.yml", "utf8"), { merge: true }) as {
  readonly services: Record<
    string,
    { readonly environment: Record<string, string>; readonly healthcheck: { readonly test: readonly string[] } }
  >;
};
const command = JSON.parse(/^CMD (\[.*\])$/m.exec(readFileSync("Dockerfile", "utf8"))![1]!) as readonly string[];
const login = { user: "steadypour", password: "sixty bags of bead" };

/** As root without any right beyond its files' modes, so that what is read-only is so for it too. */
const unprivileged =
  process.getuid?.() === 0 && findCommand("setpriv") !== undefined
    ? ["setpriv", "--bounding-set", "-all", "--inh-caps", "-all"]
    : ["env"];

function readOnlyTree(folder: string): string {
  const tree = join(folder, "app");
  mkdirSync(tree);
  cpSync("dist", join(tree, "dist"), { recursive: true });
  cpSync("package.json", join(tree, "package.json"));
  symlinkSync(resolve("node_modules"), join(tree, "node_modules"));
  execFileSync("chmod", ["-R", "a-w", join(tree, "dist"), join(tree, "package.json")]);
  execFileSync("chmod", ["a-w", tree]);
  return tree;
}

function run(tree: string, words: readonly string[], environment: Readonly<Record<string, string>>): RunningProcess {
  const [first, ...rest] = words;
  const program = first === "node" ? process.execPath : first!;
  return start("sh", ["-c", `cd "$0" && exec "$@"`, tree, ...unprivileged, program, ...rest], environment);
}

/** Every file of the tree with its time of change. */
function stateOf(tree: string): readonly string[] {
  return readdirSync(join(tree, "dist"), { recursive: true, encoding: "utf8" }).map(
    (name) => `${name} ${statSync(join(tree, "dist", name)).mtimeMs}`,
  );
}

async function both(folder: string, broker: { readonly url: string }, influx: InfluxServer): Promise<void> {
  const tree = readOnlyTree(folder);
  const before = stateOf(tree);
  for (const name of ["broker-password", "influx-password"]) {
    writeFileSync(join(folder, name), `${login.password}\n`, { mode: 0o444 });
  }
  const config = join(folder, "site.yaml");
  writeFileSync(config, partOfDemo("PR-01"));
  const httpPort = await freePort();
  const environmentOf = (name: string): Record<string, string> => {
    const changed: Record<string, string> = {
      STEADYPOUR_CONFIG: config,
      STEADYPOUR_DATA: join(folder, "data"),
      STEADYPOUR_BROKER_URL: broker.url,
      STEADYPOUR_INFLUX_URL: influx.url,
      STEADYPOUR_HTTP_HOST: "127.0.0.1",
      STEADYPOUR_HTTP_PORT: String(httpPort),
    };
    const given = Object.entries(compose.services[name]!.environment).map(([variable, value]) => [
      variable,
      changed[variable] ?? value.replace("/run/secrets", folder),
    ]);
    return Object.fromEntries(given) as Record<string, string>;
  };
  const health = async (name: string): Promise<number | null> => {
    const [, ...words] = compose.services[name]!.healthcheck.test;
    const asked = words.map((word) => word.replaceAll("127.0.0.1:8080", `127.0.0.1:${httpPort}`));
    return run(tree, asked, environmentOf(name)).exit();
  };
  const halves = new Map(["api", "collector"].map((name) => [name, run(tree, command, environmentOf(name))] as const));
  try {
    for (const one of halves.values()) await one.says(/"started"/, 120_000);
    await eventually("both are ready", async () => (await fetch(`http://127.0.0.1:${httpPort}/readyz`)).ok, 60_000);
    expect(await Promise.all([health("collector"), health("api")])).toEqual([0, 0]);
    await eventually("the long-term store takes points", async () => {
      const answer = await fetch(`http://127.0.0.1:${httpPort}/api/counts`);
      const { longTerm } = (await answer.json()) as { longTerm: { trouble: unknown; upToDate: string | null } };
      return longTerm.trouble === null && longTerm.upToDate !== null;
    });
    expect(await halves.get("collector")!.stop()).toBe(0);
    expect(await Promise.all([health("collector"), health("api")])).toEqual([1, 0]);
    expect(await halves.get("api")!.stop()).toBe(0);
    for (const one of halves.values()) expect(one.said()).not.toContain(login.password);
    expect(stateOf(tree)).toEqual(before);
  } finally {
    for (const one of halves.values()) if (!one.ended()) await one.stop();
  }
}

test("what docker-compose.yml starts runs outside containers over a read-only tree, well and not well by its health checks", async () => {
  const folder = temporaryFolder();
  const broker = await mosquitto({ login });
  const influx = await influxdb({ login });
  try {
    await both(folder.path, broker, influx);
  } finally {
    execFileSync("chmod", ["-R", "u+w", folder.path]);
    await influx.remove();
    await broker.remove();
    folder.remove();
  }
}, 300_000);
