import type { FlagState } from "../../spc/flags/flag.ts";
import { digitsApart } from "../../spc/model/digits-apart.ts";
import type { Message, MessageCard } from "../../spc/model/message.ts";
import {
  type MessageParts,
  type MessageText,
  messageText,
  messageUnit,
  overText,
  plainText,
} from "../../spc/notify/message-text.ts";
import type { Due } from "../../spc/notify/who-is-told.ts";
import type { Site } from "../platform/settings/site.ts";
import { livesMs } from "./push/push-request.ts";
import type { SiteClock } from "./site-clock.ts";

interface Parts {
  readonly site: Site;
  readonly clock: SiteClock;
  readonly nowMs: number;
  readonly untaken: MessageParts["untaken"];
  readonly flood: boolean;
}

/**
 * A message about a flag to one person, whole. `nth` counts what that person was told of it, from 1; `untaken` is for how
 * long nobody has taken it, where that is the news.
 */
export function flagMessage(flag: FlagState, due: Due, nth: number, parts: Parts): Message {
  const card = cardOf(flag, parts.site, parts.clock);
  const { label, worst } = flag;
  return {
    id: `${flag.id}/${due.person}/${nth}`,
    ...{ person: due.person, flag: flag.id, device: null, why: due.why, label },
    ...textOf(flag, due, card, parts),
    card,
    told: { label, value: worst.value, line: worst.line, on: worst.on, z: worst.z },
    queuedMs: parts.nowMs,
    expiresMs: parts.nowMs + livesMs(label),
  };
}

function textOf(flag: FlagState, { why }: Due, card: MessageCard, { clock, untaken, flood }: Parts): MessageText {
  const { label, state, taken, done } = flag;
  const named = { station: card.station, says: card.says, reference: String(flag.number) };
  const overMs = state === "done" ? done?.atMs : taken?.atMs;
  if (why === "over" && overMs !== undefined) {
    return overText({ ...named, closed: state === "done", time: clock.time(overMs) });
  }
  return messageText({
    ...named,
    ...{ label, run: card.run, time: card.time, doFirst: card.doFirst, signals: card.signals },
    value: card.value === null ? null : [card.value, card.against].filter((part) => part !== null).join(", "),
    ...{ untaken, flood },
    trial: false,
  });
}

function cardOf(flag: FlagState, site: Site, clock: SiteClock): MessageCard {
  const { worst, station, characteristic: id } = flag;
  const place = site.stations.find((one) => one.id === station);
  const [, feature, part = null] = id?.split(":") ?? [];
  const one = place?.plans.find((plan) => plan.feature === feature)?.characteristic(part) ?? null;
  const unit = one === null ? "" : messageUnit(one.unit);
  const { value, line, atMs } = worst;
  const deserved = one?.digits ?? 0;
  const digits = value === null || line === null ? deserved : digitsApart(value, line, deserved);
  return {
    number: flag.number,
    station: plainText(station),
    characteristic: id,
    says: plainText(flag.says),
    value: value === null ? null : plainText(`${value.toFixed(digits)}${unit === "" ? "" : ` ${unit}`}`),
    against: line === null ? null : `${lineName(flag)} ${line.toFixed(digits)}`,
    run: worst.run === null ? null : plainText(sentenceCase([place?.runWord ?? "run", part ?? ""].join(" ").trim())),
    runId: worst.run,
    atMs,
    time: clock.time(atMs),
    doFirst: flag.doFirst === null ? null : plainText(flag.doFirst),
    signals: flag.signals,
  };
}

/** Which line a value is held against. A pattern counts from the centre, and no message names a rule. */
function lineName({ worst, rules }: FlagState): string {
  if (worst.on === "specification") return worst.side === "below" ? "spec from" : "spec to";
  const limit = worst.side === "below" ? "low limit" : "high limit";
  if (worst.on === "spread") return limit;
  return rules.includes("beyond-limit") ? limit : "centre";
}

function sentenceCase(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
