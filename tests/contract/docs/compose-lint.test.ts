import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";
import { startNode } from "../../system/running-process.ts";
import { temporaryFolder } from "../../temporary-folder.ts";

// dclint holds docker-compose.yml against the Compose Specification's own schema, and knows what is allowed there and unwise.
const folder = temporaryFolder();
afterAll(folder.remove);

const config = join(folder.path, "dclint.json");
const rules = {
  "require-quotes-in-ports": [2, { quoteType: "double" }],
  // In which order things stand is for whoever reads the file: broker and store come before what needs them.
  "service-keys-order": 0,
  "services-alphabetical-order": 0,
  "top-level-properties-order": 0,
};
writeFileSync(config, JSON.stringify({ rules }));

async function linted(text: string): Promise<{ readonly code: number | null; readonly said: string }> {
  const file = join(folder.path, "docker-compose.yml");
  writeFileSync(file, text);
  const lint = startNode(["node_modules/dclint/bin/dclint.cjs", file, "--config", config, "--max-warnings", "0"]);
  const code = await lint.exit();
  return { code, said: lint.said() };
}

const compose = readFileSync("docker-compose.yml", "utf8");

test("docker-compose.yml is what the Compose Specification says it should be, and a compose linter has nothing to say", async () => {
  expect(await linted(compose)).toEqual({ code: 0, said: expect.not.stringMatching(/warning|error/) });
});

test.each([
  [
    "a key that no service has",
    '    user: "1883:1883"',
    '    usr: "1883:1883"',
    /services\/broker.*additional properties/,
  ],
  ["a value of another kind", "  read_only: true", "  read_only: [yes]", /read_only/],
  ["a port of every network", '"127.0.0.1:1883:1883"', '"1883:1883"', /no-unbound-port-interfaces/],
  ["an image of no version", "eclipse-mosquitto:2.0.22", "eclipse-mosquitto", /version/],
])("%s would be found", async (_, from, to, words) => {
  expect(compose).toContain(from);
  const { code, said } = await linted(compose.replace(from, to));
  expect({ code, said }).toEqual({ code: 1, said: expect.stringMatching(words) });
});
