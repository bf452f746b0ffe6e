import { existsSync, readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { parse } from "yaml";
import { readEnvironment } from "../../collector/platform/environment.ts";

// Checked as text: no container engine has run any of this.
interface Service {
  readonly image?: string;
  readonly build?: string;
  readonly user?: string;
  readonly read_only?: boolean;
  readonly privileged?: boolean;
  readonly restart?: string;
  readonly mem_limit?: string;
  readonly cap_drop?: readonly string[];
  readonly security_opt?: readonly string[];
  readonly ports?: readonly string[];
  readonly volumes?: readonly string[];
  readonly healthcheck?: { readonly test: readonly string[]; readonly interval: string };
  readonly logging?: { readonly options: Record<string, string> };
  readonly depends_on?: Record<string, { readonly condition: string }>;
  readonly environment?: Record<string, string>;
}

const compose = parse(readFileSync("docker-compose.yml", "utf8"), { merge: true }) as {
  readonly services: Record<string, Service>;
  readonly volumes: Record<string, null>;
};
const services = Object.entries(compose.services);
const dockerfile = readFileSync("Dockerfile", "utf8");
const { version } = JSON.parse(readFileSync("package.json", "utf8")) as { version: string };

test("Mosquitto and the product are there", () => {
  expect(Object.keys(compose.services)).toEqual(["broker", "steadypour"]);
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

test.each(services)(
  "%s keeps its data in a volume that is declared, and mounts files that are there",
  (_, { volumes }) => {
    const mounts = (volumes ?? []).map((volume) => volume.split(":")[0]!);
    expect(mounts.some((mount) => mount in compose.volumes)).toBe(true);
    for (const mount of mounts) expect(mount in compose.volumes || existsSync(mount), mount).toBe(true);
  },
);

test("the product waits for a broker that is well", () => {
  expect(compose.services["steadypour"]?.depends_on).toEqual({ broker: { condition: "service_healthy" } });
});

test("the product is given an environment that it understands", () => {
  const environment = readEnvironment(compose.services["steadypour"]?.environment ?? {});
  expect(environment.broker).toEqual({ url: "mqtt://broker:1883" });
  expect(environment.http).toEqual({ host: "0.0.0.0", port: 8080 });
  expect(environment.dataFolder).toBe("/data");
});

test("the product's image carries the version of package.json", () => {
  expect(compose.services["steadypour"]?.image).toBe(`steadypour:${version}`);
});

test("the image is built from a pinned line of Node, without development packages, and does not run as root", () => {
  const bases = [...dockerfile.matchAll(/^FROM (\S+)/gm)].map(([, base]) => base);
  expect(new Set(bases)).toEqual(new Set(["node:22-bookworm-slim"]));
  expect(dockerfile).toContain("npm prune --omit=dev");
  expect(dockerfile).toMatch(/^USER 10001:10001$/m);
  expect(compose.services["steadypour"]?.user).toBe("10001:10001");
  expect(dockerfile.indexOf("USER 10001")).toBeLessThan(dockerfile.indexOf("CMD"));
});

test("nothing of a working checkout travels into the image", () => {
  const left = readFileSync(".dockerignore", "utf8").split("\n");
  for (const name of [".git", "node_modules", "dist", "data"]) expect(left).toContain(name);
});
