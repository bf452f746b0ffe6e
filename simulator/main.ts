import { help, type Options, readArguments } from "./arguments.ts";
import { filePublisher } from "./file-publisher.ts";
import { secretsOf, writeByForm } from "./form.ts";
import { handwritten } from "./handwritten.ts";
import { publisher } from "./publisher.ts";
import { plantModel } from "./runs/model.ts";
import { faultsOf, sendPlant } from "./send-plant.ts";

const say = (words: string): void => {
  process.stderr.write(`plant: ${words}\n`);
};

/** What people write down by the form; null where no form is told. */
async function writeDown(options: Options, stop: AbortSignal): Promise<number | null> {
  const { form, key, fromMs, toMs } = options;
  if (form === null) return null;
  const [passwords, pins] = [secretsOf(form.accounts), secretsOf(form.pins)];
  const account = [...pins.keys()].find((one) => passwords.has(one));
  if (account === undefined) throw new Error(`${form.pins}: found nobody who stands in ${form.accounts} too`);
  const model = plantModel(key, faultsOf(options, Date.now()));
  const door = { url: form.url, account, password: passwords.get(account) as string, pins };
  return writeByForm(door, (since, until) => handwritten(model, since, until), fromMs, toMs, say, stop);
}

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
  const sending = sendPlant(read.options, out, stop.signal);
  const people = writeDown(read.options, stop.signal);
  const sent = await sending;
  await out.close();
  const rest = sent.acknowledged ? "all acknowledged" : "not all acknowledged yet";
  const written = await people;
  if (written !== null) say(`wrote down ${written} values by the form`);
  say(`sent ${sent.messages} messages with ${sent.items} readings, ${rest}`);
  process.exit(0);
}
