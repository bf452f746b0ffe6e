import { readFileSync } from "node:fs";
import { createServer } from "node:net";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";
import { eventually } from "../../eventually.ts";
import { type RunningProcess, startNode } from "../../system/running-process.ts";
import { temporaryFolder } from "../../temporary-folder.ts";

// The built demo, as `npm run demo` starts it: `npm test` builds it first.
const folder = temporaryFolder();
afterAll(() => folder.remove());

const patient = 90_000;
/** One demo's folder for all tests here: what the first one prepared, the others start over. */
const data = join(folder.path, "demo");

function startDemo(path: string, ports: Record<string, string> = {}): RunningProcess {
  const any = { STEADYPOUR_HTTP_PORT: "0", STEADYPOUR_MQTT_PORT: "0" };
  return startNode(["dist/simulator/demo.js"], { STEADYPOUR_DATA: path, ...any, ...ports });
}

async function readyAt(demo: RunningProcess): Promise<string> {
  const [, http = ""] = await demo.says(/^ready: (http:\/\/127\.0\.0\.1:\d+) mqtt:\/\/127\.0\.0\.1:\d+$/m, patient);
  return http;
}

/** Process ids of what the demo started, by the program's name. */
function children(demo: RunningProcess): Map<string, number> {
  const pids = readFileSync(`/proc/${demo.pid}/task/${demo.pid}/children`, "utf8").trim().split(" ").map(Number);
  return new Map(
    pids.map((pid) => {
      const words = readFileSync(`/proc/${pid}/cmdline`, "utf8").split("\0");
      return [words.find((word) => /dist\/.*\.js$/.test(word) && !word.startsWith("file:")) ?? "", pid];
    }),
  );
}

function gone(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return false;
  } catch {
    return true;
  }
}

async function stored(http: string): Promise<number> {
  const counts = (await (await fetch(`${http}/api/counts`)).json()) as { stored: number; quarantined: number };
  expect(counts.quarantined).toBe(0);
  return counts.stored;
}

test(
  "the demo makes its past once, sends what is missing, and leaves nothing running",
  async () => {
    const first = startDemo(data);
    const http = await readyAt(first);
    // 316 on most days: which charts have runs enough depends on when the past ends.
    expect(Number(/(\d+) of 353 set/.exec(first.said())?.[1])).toBeGreaterThan(280);
    await eventually("readings are stored", async () => (await stored(http)) > 10_000, patient);
    const begun = [...children(first).values()];
    expect(begun).toHaveLength(2);
    expect(await first.stop()).toBe(0);
    expect(begun.filter((pid) => !gone(pid))).toEqual([]);

    const before = JSON.parse(readFileSync(join(data, "plant-progress.json"), "utf8"));
    const second = startDemo(data);
    const again = await readyAt(second);
    expect(second.said()).not.toMatch(/taken in|[23]\d\d of \d+ set/);
    await eventually("more readings are stored", async () => (await stored(again)) > 1000, patient);
    await eventually(
      "the plant goes on from where it was",
      () => {
        const now = JSON.parse(readFileSync(join(data, "plant-progress.json"), "utf8"));
        return now["GW-PR"].until > before["GW-PR"].until && now["GW-PR"].seq > before["GW-PR"].seq;
      },
      patient,
    );

    const product = [...children(second)].find(([name]) => name.endsWith("api/main.js"));
    process.kill((product as [string, number])[1], "SIGKILL");
    expect(await second.exit(patient)).toBe(1);
    expect(second.said()).toMatch(/demo: the product ended by SIGKILL/);
  },
  4 * patient,
);

test(
  "a demo that is itself killed takes its processes with it",
  async () => {
    const demo = startDemo(data);
    await readyAt(demo);
    const begun = await eventually("both are up", () => {
      const pids = [...children(demo).values()];
      return pids.length === 2 ? pids : undefined;
    });
    demo.signal("SIGKILL");
    await eventually("both are gone", () => begun.every(gone));
  },
  2 * patient,
);

test(
  "where a port is taken the next one is",
  async () => {
    const server = createServer().listen(0, "127.0.0.1");
    await new Promise((resolve) => server.once("listening", resolve));
    const { port } = server.address() as { port: number };
    const demo = startDemo(data, { STEADYPOUR_HTTP_PORT: String(port) });
    const http = await readyAt(demo);
    expect(Number(http.split(":")[2])).toBeGreaterThan(port);
    expect(await demo.stop()).toBe(0);
    server.close();
  },
  2 * patient,
);

test(
  "over a folder that is no demo's it starts nothing",
  async () => {
    const demo = startDemo("tests");
    expect(await demo.exit(patient)).toBe(2);
    expect(demo.said()).toMatch(
      /^demo: tests holds something that no demo put there: name another folder in STEADYPOUR_DATA/,
    );
  },
  patient,
);
