import { help, readArguments } from "./arguments.ts";
import { filePublisher } from "./file-publisher.ts";
import { publisher } from "./publisher.ts";
import { sendPlant } from "./send-plant.ts";

const say = (words: string): void => {
  process.stderr.write(`plant: ${words}\n`);
};

const read = readArguments(process.argv.slice(2), Date.now());
if (read.kind === "help") process.stdout.write(help);
else if (read.kind === "wrong") {
  for (const mistake of read.mistakes) process.stderr.write(`${mistake}\n`);
  process.exitCode = 2;
} else {
  const stop = new AbortController();
  const end = (): void => stop.abort();
  process.once("SIGINT", end);
  process.once("SIGTERM", end);
  const { url, toFile } = read.options;
  const out = toFile === null ? publisher(url, say, stop.signal) : filePublisher(toFile);
  const sent = await sendPlant(read.options, out, stop.signal);
  await out.close();
  const rest = sent.acknowledged ? "all acknowledged" : "not all acknowledged yet";
  say(`sent ${sent.messages} messages with ${sent.items} readings, ${rest}`);
  process.exit(0);
}
