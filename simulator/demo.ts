import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import type { Week } from "./calendar.ts";
import { type Child, startChild } from "./child.ts";
import { firstDayFaults } from "./demo-faults.ts";
import { type DemoFolder, markPrepared, openDemoFolder } from "./demo-folder.ts";
import { fiveDaySettings } from "./five-day-settings.ts";
import { freePort } from "./free-port.ts";
import { startOptions } from "./start-options.ts";
import { writeHistory } from "./write-history.ts";

const dayMs = 86_400_000;
const pastDays = 60;
/** Which invented plant it is. */
const seed = 7;

const root = fileURLToPath(new URL("../../", import.meta.url));
const product = `${root}dist/api/main.js`;
const packageFile = `${root}package.json`;
const command = `${root}dist/api/cli/main.js`;
const simulator = `${root}dist/simulator/main.js`;
const page = `${root}dist/web/index.html`;
const settings = `${root}simulator/ostrimvale.yaml`;
/** A password for each role: known to everybody, so for the demo alone. */
const accounts = `${root}simulator/demo-accounts.txt`;
const pins = `${root}simulator/demo-pins.txt`;

/** Ends the demo with words for the person who started it. */
class Ended extends Error {
  override readonly name = "Ended";
  readonly exitCode: number;
  constructor(words: string, exitCode: number) {
    super(words);
    this.exitCode = exitCode;
  }
}

const running: Child[] = [];
const stop = new AbortController();
process.once("SIGINT", () => stop.abort());
process.once("SIGTERM", () => stop.abort());

function say(words: string): void {
  process.stderr.write(`demo: ${words}\n`);
}

async function demo(): Promise<void> {
  for (const file of [product, command, simulator, page]) {
    if (!existsSync(file)) throw new Ended(`${file} is missing: run npm ci, which builds it`, 1);
  }
  const startedMs = Date.now();
  const told = weekFrom(process.argv.slice(2));
  const fresh = { seed, firstMs: startedMs - dayMs, ...(told === 5 ? { week: told } : {}) };
  const opened = openDemoFolder(process.env["STEADYPOUR_DATA"] || `${root}data/demo`, fresh, told);
  if (!opened.ok) throw new Ended(opened.words, 2);
  const { folder } = opened;
  const log = process.env["STEADYPOUR_LOG"] || "warn";
  const config = folder.key.week === 5 ? fiveDays(folder) : settings;
  const environment = { STEADYPOUR_CONFIG: config, STEADYPOUR_DATA: folder.path, STEADYPOUR_LOG: log };
  const letIn = (): Promise<void> => runCommand("account", ["passwords", accounts], environment);
  await (folder.prepared ? letIn() : prepare(folder, environment, letIn));
  const http = await freePort(portFrom("STEADYPOUR_HTTP_PORT", 8080));
  const mqtt = await freePort(portFrom("STEADYPOUR_MQTT_PORT", 1883));
  await startProduct(http, mqtt, environment);
  say("looking needs no sign-in here; to decide, sign in with the password foam gives way to metal as one of");
  say("visitor, early-lead, late-lead, night-lead, inspector, maintenance, process-engineer, second-engineer,");
  say("works-manager, administrator; PINs for a shared terminal stand in the README");
  process.stdout.write(`ready: http://127.0.0.1:${http} mqtt://127.0.0.1:${mqtt}\n`);
  startPlant(folder, http, mqtt, startedMs);
  const first = await Promise.race([stopped(), ...running.map(endOf)]);
  if (first !== null) throw new Ended(first, 1);
}

/** The demo's settings, with the days on which its shifts begin: written anew at each start, as the product's own may be newer. */
function fiveDays(folder: DemoFolder): string {
  const written = fiveDaySettings(readFileSync(settings, "utf8"));
  if (written === null) throw new Ended(`${settings}: found other shifts than early, late and night`, 1);
  writeFileSync(folder.settings, written);
  return folder.settings;
}

const help = `The demo: the product beside the simulated plant.

npm run demo -- [--week 5|7]

  --week 5|7  days a week on which the plant works; 7 for a new demo unless told, so that there is life on any day. With 5 the
              shifts begin from Monday to Friday, and the product is told so. A demo that was begun keeps its week.
`;

function weekFrom(words: readonly string[]): Week | null {
  const [, week] = /^--week[= ]([57])$/.exec(words.join(" ")) ?? [];
  if (words.length === 0) return null;
  if (words.includes("--help") || words.includes("-h")) {
    process.stdout.write(help);
    throw new Ended("", 0);
  }
  if (week === undefined) throw new Ended(`found ${words.join(" ")}, expected --week 5 or --week 7`, 2);
  return week === "5" ? 5 : 7;
}

/** The site's past: what it wrote down comes in, and limits are set from it. `meanwhile` goes on beside its writing. */
async function prepare(
  folder: DemoFolder,
  environment: Readonly<Record<string, string>>,
  meanwhile: () => Promise<void>,
): Promise<void> {
  const { firstMs } = folder.key;
  const fromMs = firstMs - pastDays * dayMs;
  say(`making ${pastDays} days of past runs`);
  await Promise.all([meanwhile(), writeHistory(folder.history, folder.key, fromMs, firstMs)]);
  await runCommand("import-runs", [folder.history], environment);
  const window = ["--from", new Date(fromMs).toISOString(), "--to", new Date(firstMs).toISOString()];
  const people = ["--proposed-by", "demo engineer", "--agreed-by", "demo works manager"];
  const reason = ["--reason", "simulated past without a fault"];
  await runCommand("freeze-limits", ["--all", "--basis", "recommended", ...window, ...people, ...reason], environment);
  markPrepared(folder);
}

async function runCommand(verb: string, words: readonly string[], environment: Record<string, string>): Promise<void> {
  const child = startChild(`steadypour ${verb}`, [command, verb, ...words], environment);
  running.push(child);
  const how = await Promise.race([stopped(), child.ended]);
  if (how === null) throw new Ended("stopped", 0);
  running.splice(running.indexOf(child), 1);
  if (how !== "ended with exit code 0") throw new Ended(`${child.name} ${how}`, 1);
}

async function startProduct(http: number, mqtt: number, environment: Record<string, string>): Promise<void> {
  const ports = {
    STEADYPOUR_HTTP_HOST: "127.0.0.1",
    STEADYPOUR_HTTP_PORT: String(http),
    STEADYPOUR_MQTT_HOST: "127.0.0.1",
    STEADYPOUR_MQTT_PORT: String(mqtt),
    STEADYPOUR_BROKER_URL: "",
  };
  const child = startChild("the product", [...startOptions(packageFile), product], { ...environment, ...ports });
  running.push(child);
  const how = await Promise.race([stopped(), endOf(child), answers(`http://127.0.0.1:${http}/readyz`)]);
  if (how === null) throw new Ended("stopped", 0);
  if (how !== "answers") throw new Ended(how, 1);
}

/** The plant knows the product as a broker, and its people know the form: it speaks MQTT, and HTTP as a shared terminal does. */
function startPlant(folder: DemoFolder, http: number, mqtt: number, startedMs: number): void {
  const { seed, firstMs, week = 7 } = folder.key;
  const fromMs = Math.max(firstMs, startedMs - dayMs);
  const words = ["--url", `mqtt://127.0.0.1:${mqtt}`, "--seed", String(seed), "--speed", "live", "--week", `${week}`];
  const times = ["--first", new Date(firstMs).toISOString(), "--from", new Date(fromMs).toISOString()];
  const faults = [...firstDayFaults.flatMap((fault) => ["--fault", fault]), "--occasional-faults"];
  const form = ["--form", `http://127.0.0.1:${http}`, "--accounts", accounts, "--pins", pins];
  const all = [...words, ...times, ...faults, ...form, "--progress", folder.progress];
  running.push(startChild("the simulated plant", [simulator, ...all], {}));
}

function portFrom(name: string, otherwise: number): number {
  const text = process.env[name] || String(otherwise);
  if (/^\d{1,5}$/.test(text) && Number(text) <= 65_535) return Number(text);
  throw new Ended(`${name}: found ${text}, expected a port from 0 to 65535`, 2);
}

function stopped(): Promise<null> {
  return new Promise((resolve) => {
    if (stop.signal.aborted) resolve(null);
    stop.signal.addEventListener("abort", () => resolve(null));
  });
}

async function endOf(child: Child): Promise<string> {
  return `${child.name} ${await child.ended}`;
}

async function answers(url: string): Promise<"answers"> {
  for (;;) {
    // Not up yet is no fault here: should it never come up, its process ends and that is told.
    const response = await fetch(url).catch(() => /* it does not listen yet: we ask again */ null);
    if (response?.ok === true) return "answers";
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
}

let exitCode = 0;
try {
  await demo();
} catch (error) {
  if (!(error instanceof Ended)) throw error;
  if (error.exitCode !== 0) say(error.message);
  exitCode = error.exitCode;
}
// The plant first, so that what it has on the way is still acknowledged.
for (const child of running.reverse()) await child.end(child.name === "the product" ? 15_000 : 5000);
process.exit(exitCode);
