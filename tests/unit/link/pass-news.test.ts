import { expect, test } from "vitest";
import { passNews } from "../../../collector/link/pass-news.ts";
import { memoryBus } from "../../../collector/platform/bus.ts";

const turn = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

test("what is announced is said once a turn, and what comes from the other side is announced and not said back", async () => {
  const bus = memoryBus();
  const said: string[] = [];
  let heard = 0;
  bus.on("journal", () => {
    heard += 1;
  });
  const news = passNews(bus, (topic) => said.push(topic));
  bus.announce("journal");
  bus.announce("journal");
  bus.announce("samples");
  await turn();
  expect(said).toEqual(["journal", "samples"]);
  news.announce("journal");
  await turn();
  expect([said.length, heard]).toEqual([2, 3]);
  news.stop();
  bus.announce("journal");
  await turn();
  expect(said.length).toBe(2);
});
