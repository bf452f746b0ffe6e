import { execFileSync } from "node:child_process";
import { existsSync, readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { parse } from "yaml";
import { readEnvironment } from "../../collector/platform/environment.ts";
import { startWords } from "../system/start-words.ts";

// Checked as text: no container engine has run any of this.
interface Service {
  readonly image?: string;
  readonly build?: string;
  readonly user?: string;
  readonly read_only?: boolean;
  readonly privileged?: boolean;
  readonly restart?: string;
  readonly stop_grace_period?: string;
  readonly mem_limit?: string;
  readonly cap_drop?: readonly string[];
  readonly security_opt?: readonly string[];
  readonly ports?: readonly string[];
  readonly volumes?: readonly string[];
  readonly healthcheck?: { readonly test: readonly string[]; readonly interval: string };
  readonly logging?: { readonly options: Record<string, string> };
  readonly depends_on?: Record<string, { readonly condition: string }>;
  readonly environment?: Record<string, string>;
  readonly secrets?: readonly string[];
  readonly entrypoint?: readonly string[];
}

const compose = parse(readFileSync("docker-compose.yml", "utf8"), { merge: true }) as {
  readonly services: Record<string, Service>;
  readonly volumes: Record<string, null>;
  readonly secrets: Record<string, { readonly file: string }>;
};
const services = Object.entries(compose.services);
const dockerfile = readFileSync("Dockerfile", "utf8");
const { version } = JSON.parse(readFileSync("package.json", "utf8")) as { version: string };

test("Mosquitto, InfluxDB and the two processes of the product are there", () => {
  expect(Object.keys(compose.services)).toEqual(["broker", "influx", "collector", "api"]);
});

test.each(services)("%s runs a named version of its image", (_, { image }) => {
  expect(image).toMatch(/:\d+\.\d+\.\d+/);
});

test.each(services)("%s is neither root nor able to become it, and writes only where it must", (_, service) => {
  expect(Number(service.user?.split(":")[0])).toBeGreaterThan(0);
  expect(service.read_only).toBe(true);
  expect(service.privileged).toBeUndefined();
  expect(service.cap_drop).toEqual(["ALL"]);
  expect(service.security_opt).toEqual(["no-new-privileges:true"]);
});

test.each(services)(
  "%s comes back by itself, says whether it is well, and fills neither disk nor memory",
  (_, service) => {
    expect(service.restart).toBe("unless-stopped");
    expect(service.healthcheck?.test[0]).toMatch(/^CMD(-SHELL)?$/);
    expect(service.mem_limit).toMatch(/^\d+[mg]$/);
    expect(Object.keys(service.logging?.options ?? {})).toEqual(["max-size", "max-file"]);
  },
);

test.each(services)("%s is reached from this machine only", (_, { ports }) => {
  for (const port of ports ?? []) expect(port).toMatch(/^127\.0\.0\.1:\d+:\d+$/);
});

test("of the long-term store and the collector no port is published", () => {
  expect(compose.services["influx"]?.ports).toBeUndefined();
  expect(compose.services["collector"]?.ports).toBeUndefined();
});

test("passwords stand in files that are declared, used, named where they are read, and kept out of image and repository", () => {
  const text = readFileSync("docker-compose.yml", "utf8") + readFileSync("collector/source/mosquitto.conf", "utf8");
  const used = services.flatMap(([, { secrets }]) => secrets ?? []);
  expect(new Set(used)).toEqual(new Set(Object.keys(compose.secrets)));
  for (const name of used) expect(text).toContain(`/run/secrets/${name}`);
  for (const { file } of Object.values(compose.secrets)) expect(file).toMatch(/^\.\/secrets\//);
  expect(readFileSync(".gitignore", "utf8").split("\n")).toContain("/secrets/");
  expect(readFileSync(".dockerignore", "utf8").split("\n")).toContain("secrets");
  for (const [, { environment }] of services) {
    for (const name of Object.keys(environment ?? {})) expect(name).not.toMatch(/(PASSWORD|TOKEN)$/);
  }
});

test("what InfluxDB starts with is a shell line without mistakes that reads its passwords from their files", () => {
  const line = compose.services["influx"]?.entrypoint?.at(-1)?.replaceAll("$$", "$") ?? "";
  execFileSync("bash", ["-n", "-c", line]);
  expect(line).toMatch(/exec \/entrypoint\.sh influxd$/);
});

test.each(services)(
  "%s keeps its data in a volume that is declared, and mounts files that are there",
  (_, { volumes }) => {
    const mounts = (volumes ?? []).map((volume) => volume.split(":")[0]!);
    expect(mounts.some((mount) => mount in compose.volumes)).toBe(true);
    for (const mount of mounts) expect(mount in compose.volumes || existsSync(mount), mount).toBe(true);
  },
);

const halves = services.filter(([name]) => name === "collector" || name === "api");

test.each(halves)("%s waits for a broker that is well, and for nothing else", (_, { depends_on }) => {
  expect(depends_on).toEqual({ broker: { condition: "service_healthy" } });
});

test.each(halves)("%s is given an environment that it understands, and its role", (name, service) => {
  const environment = readEnvironment(service.environment ?? {});
  expect(environment.roles).toEqual({ collector: name === "collector", api: name === "api" });
  expect(environment.broker).toMatchObject({ url: "mqtt://broker:1883", user: "steadypour" });
  expect(environment.influx).toMatchObject({ url: "http://influx:8086", version: 1, database: "steadypour" });
  expect(environment.http).toEqual(
    name === "api" ? { host: "0.0.0.0", port: 8080 } : { host: "127.0.0.1", port: 8080 },
  );
  expect(environment.dataFolder).toBe("/data");
});

test.each(halves)("%s runs the image of package.json's version, over the same folder", (_, { image, volumes }) => {
  expect(image).toBe(`steadypour:${version}`);
  expect(volumes).toContain("data:/data");
});

test("each has longer to stop than the product takes", () => {
  const stopWithinS = Number(/stopWithinMs = (\d+)_000/.exec(readFileSync("api/main.ts", "utf8"))?.[1]);
  for (const [, { stop_grace_period }] of services)
    expect(Number.parseInt(stop_grace_period ?? "", 10)).toBeGreaterThan(stopWithinS);
});

test("the image is built from a pinned line of Node, without development packages, and does not run as root", () => {
  const bases = [...dockerfile.matchAll(/^FROM (\S+)/gm)].map(([, base]) => base);
  expect(new Set(bases)).toEqual(new Set(["node:22-bookworm-slim"]));
  expect(dockerfile).toContain("npm prune --omit=dev");
  expect(dockerfile).toMatch(/^USER 10001:10001$/m);
  for (const [, { user }] of halves) expect(user).toBe("10001:10001");
  expect(dockerfile.indexOf("USER 10001")).toBeLessThan(dockerfile.indexOf("CMD"));
  expect(JSON.parse(/^CMD (\[.*\])$/m.exec(dockerfile)?.[1] ?? "[]")).toEqual(["node", ...startWords]);
});

test("nothing of a working checkout travels into the image", () => {
  const left = readFileSync(".dockerignore", "utf8").split("\n");
  for (const name of [".git", "node_modules", "dist", "data"]) expect(left).toContain(name);
});
