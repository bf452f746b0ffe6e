import { readFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";
import { eventually } from "../../eventually.ts";
import { requireCommand } from "../../system/find-command.ts";
import { freePort } from "../../system/free-port.ts";
import { nodeOptions, start, startNode } from "../../system/running-process.ts";
import { temporaryFolder } from "../../temporary-folder.ts";

// What truly was lies in a file of its own. The product that the same plant feeds must never open it: told by every file
// that its processes ask the system for, from their start to their end.

const folder = temporaryFolder();
afterAll(() => folder.remove());

const patient = 120_000;

test(
  "the product takes in what the plant sends and never opens what truly was",
  async () => {
    const truth = join(folder.path, "plant-truth.jsonl");
    const trace = join(folder.path, "opened.txt");
    const [http, mqtt] = [await freePort(), await freePort()];
    // -D: strace steps aside, so that signals reach the product itself.
    const options = ["-D", "-f", "-e", "trace=open,openat", "-o", trace];
    const product = start(
      requireCommand("strace"),
      [...options, process.execPath, ...nodeOptions, "dist/api/main.js"],
      {
        STEADYPOUR_CONFIG: "simulator/ostrimvale.yaml",
        STEADYPOUR_DATA: join(folder.path, "data"),
        STEADYPOUR_HTTP_PORT: String(http),
        STEADYPOUR_MQTT_PORT: String(mqtt),
      },
    );
    await product.says(/"started"/, patient);
    const times = ["--speed", "max", "--from", "2026-11-24T05:00:00Z", "--hours", "1.1"];
    const faults = ["--fault", "cold-metal@PO-A@20min+25min", "--truth", truth];
    const plant = startNode([
      ...["dist/simulator/main.js", "--url", `mqtt://127.0.0.1:${mqtt}`, "--seed", "3"],
      ...times,
      ...faults,
    ]);
    expect(await plant.exit(patient)).toBe(0);
    await eventually(
      "the plant's readings are stored",
      async () => {
        const answer = await fetch(`http://127.0.0.1:${http}/api/counts`);
        const counts = (await answer.json()) as { stored: number; quarantined: number };
        expect(counts.quarantined).toBe(0);
        return counts.stored > 100_000;
      },
      patient,
    );
    expect(await product.stop()).toBe(0);

    const lines = readFileSync(truth, "utf8")
      .trim()
      .split("\n")
      .map((line) => JSON.parse(line));
    expect(lines.filter(({ kind }) => kind === "fault").map(({ type }) => type)).toEqual(["cold-metal"]);
    expect(lines.filter(({ kind }) => kind === "run").length).toBeGreaterThan(100);
    const opened = readFileSync(trace, "utf8");
    expect(opened).toContain("ostrimvale.yaml");
    expect(opened).not.toContain("plant-truth");
  },
  3 * patient,
);
