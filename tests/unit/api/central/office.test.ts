import { rmSync } from "node:fs";
import { join } from "node:path";
import { pino } from "pino";
import { afterEach, beforeEach, expect, test } from "vitest";
import { startOffice } from "../../../../api/central/office.ts";
import type { Product } from "../../../../api/product.ts";
import { type Environment, readEnvironment } from "../../../../collector/platform/environment.ts";
import { eventually } from "../../../eventually.ts";
import { temporaryFolder } from "../../../temporary-folder.ts";
import { writeLine } from "./line-folder.ts";

let folder: ReturnType<typeof temporaryFolder>;
let office: Product;
/** Ports that it was begun with, and what stopped. */
let begun: number[];
let stopped: number;
let fail: (error: unknown) => void;

const line = (id: string, name: string): void => writeLine(folder.path, id, name);

function start({ http }: Environment): Promise<Product> {
  begun.push(http.port);
  const ended = new Promise<void>((_, reject) => {
    fail = reject;
  });
  const stop = (): Promise<void> => {
    stopped += 1;
    return Promise.resolve();
  };
  return Promise.resolve({ url: "http://127.0.0.1:4321", firstLink: null, ended, stop });
}

/** Time passes as fast as it is slept through, and lets everything else have its turn. */
let slept: number;
const clock = {
  nowMs: () => slept,
  sleep: async (ms: number) => {
    slept += ms;
    await new Promise((resolve) => setTimeout(resolve, 1));
  },
} as never;

async function looks(count: number): Promise<void> {
  const until = slept + count * 2_000;
  await eventually("it looked", () => slept >= until);
}

beforeEach(async () => {
  folder = temporaryFolder();
  [begun, stopped, slept] = [[], 0, 0];
  line("a", "Line A");
  const environment = { ...readEnvironment({}), http: { host: "127.0.0.1", port: 0 } };
  const parts = { environment, folder: folder.path, start, clock, log: pino({ level: "silent" }) };
  office = await startOffice(parts);
});
afterEach(async () => {
  await office.stop();
  folder.remove();
});

test("a line that comes, and settings that change, begin it anew behind the port it has", async () => {
  await looks(3);
  expect([begun, stopped]).toEqual([[0], 0]);
  line("b", "Line B");
  await eventually("it began anew", () => begun.length === 2);
  line("b", "Line B of another name");
  await eventually("it began anew again", () => begun.length === 3);
  expect([begun, stopped]).toEqual([[0, 4321, 4321], 2]);
});

test("a line that is away, or collides with another, changes nothing", async () => {
  rmSync(join(folder.path, "a"), { recursive: true });
  await looks(4);
  line("a", "Line A");
  line("b", "Line A");
  await looks(4);
  expect([begun, stopped]).toEqual([[0], 0]);
  // Another name, and it can be shown.
  line("b", "Line B");
  await eventually("it began anew", () => begun.length === 2);
});

test("a defect of the product that is shown now ends it", async () => {
  line("b", "Line B");
  await eventually("it began anew", () => begun.length === 2);
  await looks(1);
  fail(new Error("a defect"));
  await expect(office.ended).rejects.toThrow("a defect");
});
