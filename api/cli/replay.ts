import { systemClock } from "../../collector/platform/clock.ts";
import { Fault } from "../../collector/platform/fault.ts";
import { recording } from "../../collector/start.ts";
import { brokerOf, brokerOptions, brokerOptionsHelp } from "./broker-options.ts";
import { fileMark, linesOf } from "./import-lines.ts";
import { untilStopped } from "./until-stopped.ts";
import { UsageError } from "./usage-error.ts";
import { type CommandOutput, commandLine, oneFile, type Verb } from "./verb.ts";

const PROGRESS_EVERY_MS = 2_000;
const MISTAKES_TOLD = 20;
const START = { offset: 0, line: 1 };

type Message = Exclude<ReturnType<typeof recording.message>, string>;

interface Looked {
  readonly messages: number;
  readonly commands: number;
  readonly firstMs: number;
  readonly lastMs: number;
}

export const replay: Verb = {
  form: "FILE --to ADDRESS [--speed X]",
  summary: "publishes a recording at a broker, as it was or faster",
  help: `Publishes what steadypour record wrote into FILE, under the topics it came by, at QoS 1. FILE is looked through first;
where anything is wrong nothing is sent.

--to ADDRESS           broker of a bench installation, such as mqtt://127.0.0.1:1883
--speed X              times faster than it was recorded, such as 1, 10, 0.5; or max, as fast as the broker takes it. 1
                       unless told
${brokerOptionsHelp}

Never into the plant's own broker: whatever listens there takes an old reading for a new one. Readings keep the times that
are in them, so the product shows its source as catching up, judges the runs as if they had come live, and sends no message
for what is older than 15 minutes. Give the bench a data folder of its own: one that has later readings of the same source
keeps these as late, and they enter no run. Commands of Sparkplug B are passed over.`,
  run: async (args, io) => {
    const { values, words } = commandLine(args, {
      ...brokerOptions,
      to: { type: "string" },
      speed: { type: "string" },
    });
    const file = oneFile(words);
    if (values.to === undefined) throw new UsageError("found no --to, expected the address of a broker of a bench");
    const speed = speedOf(values.speed ?? "1");
    const access = brokerOf("--to", values.to, values);
    const looked = lookThrough(file, io);
    const lastsMs = (looked.lastMs - looked.firstMs) / speed;
    io.warn(`${looked.messages} messages of ${spanOf(looked)}, will take ${seconds(lastsMs)} or longer`);
    const beganMs = performance.now();
    let sent = 0;
    let reachedMs = looked.firstMs;
    const tell = (): void => {
      const share = Math.floor((100 * sent) / Math.max(looked.messages, 1));
      io.warn(`${share} %, ${sent} messages, at ${new Date(reachedMs).toISOString()}`);
    };
    const progress = setInterval(tell, PROGRESS_EVERY_MS);
    const stopped = untilStopped(null);
    try {
      const acknowledged = ({ atMs }: Message): void => {
        sent += 1;
        reachedMs = atMs;
      };
      const input = { access, messages: messagesOf(file), speed, clock: systemClock, acknowledged, say: io.warn };
      await recording.replay(input, stopped);
    } finally {
      clearInterval(progress);
    }
    if (sent < looked.messages && !stopped.aborted) {
      const words = `${access.url} did not acknowledge ${looked.messages - sent} of ${looked.messages} messages`;
      throw new Fault("broker-unreachable", words, { retryable: true });
    }
    const skipped = looked.commands > 0 ? `, ${looked.commands} commands passed over` : "";
    const broken = stopped.aborted ? `, broken off before the last ${looked.messages - sent}` : "";
    io.print(`${sent} messages replayed in ${seconds(performance.now() - beganMs)}${skipped}${broken}`);
  },
};

function speedOf(text: string): number {
  if (text === "max") return Number.POSITIVE_INFINITY;
  const speed = Number(text);
  if (/^\d+(\.\d+)?$/.test(text) && speed > 0) return speed;
  throw new UsageError(`--speed: found ${text}, expected a number above 0, or max`);
}

/** Reads all of it and sends nothing; a UsageError where anything is wrong. */
function lookThrough(file: string, io: CommandOutput): Looked {
  if (fileMark(file).size === 0) throw new UsageError(`${file}:1: found nothing, expected a file of steadypour record`);
  let looked = { messages: 0, commands: 0, firstMs: Number.POSITIVE_INFINITY, lastMs: Number.NEGATIVE_INFINITY };
  let bad = 0;
  const wrong = (line: number, words: string): void => {
    bad += 1;
    if (bad <= MISTAKES_TOLD) io.warn(`${file}:${line}: ${words}`);
  };
  for (const { texts, first } of linesOf(file, START)) {
    for (const [index, text] of texts.entries()) {
      const line = first + index;
      const found = text === null ? "found bytes that are not UTF-8" : lineOf(text, line);
      if (found === null) continue;
      if (typeof found === "string") {
        // Another file altogether: its other lines are none of ours to judge.
        if (line === 1) throw new UsageError(`${file}:1: ${found}`);
        wrong(line, found);
      } else if (recording.isCommand(found.topic)) looked.commands += 1;
      else {
        const { atMs } = found;
        const { messages, firstMs, lastMs } = looked;
        looked = {
          ...looked,
          messages: messages + 1,
          firstMs: Math.min(firstMs, atMs),
          lastMs: Math.max(lastMs, atMs),
        };
      }
    }
  }
  if (bad > 0) throw new UsageError(`${bad} ${bad === 1 ? "mistake" : "mistakes"}: nothing was sent`);
  if (looked.messages === 0) throw new UsageError(`${file}: found no message in the recording`);
  return looked;
}

function* messagesOf(file: string): Generator<Message> {
  for (const { texts, first } of linesOf(file, START)) {
    for (const [index, text] of texts.entries()) {
      const found = text === null ? null : lineOf(text, first + index);
      if (found !== null && typeof found !== "string" && !recording.isCommand(found.topic)) yield found;
    }
  }
}

/** A message; null for the head and for an empty line; else what is wrong. */
function lineOf(text: string, line: number): Message | string | null {
  if (line === 1) return recording.headMistake(text);
  return text.trim() === "" ? null : recording.message(text);
}

function spanOf({ firstMs, lastMs }: Looked): string {
  return `${new Date(firstMs).toISOString()} to ${new Date(lastMs).toISOString()}`;
}

function seconds(ms: number): string {
  return `${(ms / 1000).toFixed(ms < 100_000 ? 1 : 0)} s`;
}
