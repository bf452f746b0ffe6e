import type { WireDoorTrouble, WireFreshness } from "../../api/contract/wire.ts";
import { offByWords } from "./clocks.ts";
import type { SiteTimes } from "./times.ts";

/** What is wrong with a station's source, short enough for its strip; null when nothing is known to be. */
export function stripTrouble({ missing, refused, late, clockWrong }: WireFreshness): string | null {
  if (refused !== null) return "all refused";
  if (late !== null) return "all late";
  if (clockWrong !== null) return `clock ${offByWords(clockWrong * 1_000)}`;
  return missing === null ? null : `${messages(missing.messages)} missing`;
}

/** The same in sentences, for a page about the station. */
export function sourceSentences(freshness: WireFreshness, times: SiteTimes, nowMs: number): readonly string[] {
  const { source, missing, refused, late, clockWrong } = freshness;
  const sentences: string[] = [];
  if (refused !== null) {
    const count = refused.messages;
    sentences.push(
      `Nothing of the last ${messages(count)} of ${source} could be taken: ${refusedWords(refused.code)}.`,
    );
  }
  if (late !== null) {
    const newest = times.near(Date.parse(late.newest), nowMs);
    sentences.push(
      `The last ${late.readings} readings of ${source} came late and enter no run: it had sent one of ${newest} before. Was its clock ahead?`,
    );
  }
  if (missing !== null) sentences.push(missingSentence(source, missing, times, nowMs));
  if (clockWrong !== null) {
    const held = clockWrong < 0 ? ", or it holds its readings back" : "";
    sentences.push(`The clock of ${source} is ${offByWords(clockWrong * 1_000)}${held}: times here are uncertain.`);
  }
  return sentences;
}

/** What a person at the gateway can do about it; the code is that of quarantine. */
function refusedWords(code: string): string {
  const help =
    code === "birth-missing"
      ? ", so ask for a rebirth at the edge node, for nothing is sent from here"
      : ", and quarantine has them with what was expected";
  return `${code.replaceAll("-", " ")}${help}`;
}

export interface Missing {
  readonly messages: number;
  readonly from: string | null;
  readonly to: string | null;
}

export function missingSentence(source: string, missing: Missing, times: SiteTimes, nowMs: number): string {
  const { from, to } = missing;
  const at = (text: string): string => {
    const ms = Date.parse(text);
    return times.near(ms, nowMs) === times.minute(ms) ? times.clock(ms) : `${times.day(ms)} ${times.clock(ms)}`;
  };
  const span = from === null || to === null ? "" : `, between ${at(from)} and ${at(to)}`;
  return `${messages(missing.messages)} of ${source} never came${span}: its counter passed over them.`;
}

/** What is wrong where readings come in, as the Floor says it on top. */
export function doorSentence(
  { code, at, messages: count, line = "", collector = "" }: WireDoorTrouble,
  times: SiteTimes,
  nowMs: number,
): string {
  const since = at === null ? "" : `${times.near(Date.parse(at), nowMs)}: `;
  switch (code) {
    case "line-away":
      return `${since}the line ${line} is cut off from here. It goes on by itself, and what it finds comes when it is back.`;
    case "line-damaged":
      return `${since}the copy of the line ${line} does not follow from what came before, so no more of it is shown. The line's own pages have it.`;
    case "line-unread":
      return `The line ${line} is not shown: its settings cannot be read here. The log says why; the line's own pages have it.`;
    case "collector-away":
      return "The collector is not heard: no readings come in, and nothing is judged. What senders hold back comes when it runs again.";
    case "broker-away":
      return "Not connected to the broker: no readings come in. It is tried again by itself.";
    case "session-lost":
      return `${since}the broker no longer knew us. What it kept for us until then is lost; gaps that can be counted stand at the stations.`;
    case "client-id-shared":
      return `${since}another program comes to the broker under our client id, by all appearance. Each of the two loses readings to the other until one gets an id of its own.`;
    case "messages-dropped":
      return `${since}the broker dropped messages because a queue was full, ${count ?? 0} so far, of any of its clients. Ours show as gaps at the stations.`;
    case "standby-missing":
      return `${since}no second collector stands by. ${collector} takes readings and judges as ever, and nobody would take its place.`;
  }
}

function messages(count: number): string {
  return `${count} ${count === 1 ? "message" : "messages"}`;
}
