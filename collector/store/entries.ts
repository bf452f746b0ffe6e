import type {
  Applied,
  CommonCause,
  Corrected,
  InstrumentNews,
  JournalEntry,
  PointRecord,
  RecomputeAsked,
  Recomputed,
  Revised,
  RunRecord,
  SetUp,
  SetUpHeard,
  Silence,
  Unseen,
  WrittenDown,
} from "../../spc/model/journal-entry.ts";
import type { LimitSet } from "../../spc/model/limit-set.ts";
import type { Message } from "../../spc/model/message.ts";
import type { Agreed, Proposed, Withdrawn } from "../../spc/model/proposal.ts";
import type { Signal } from "../../spc/model/signal.ts";

/** A signal found longer than this after its sensor time is listed, never sent: it is past. */
export const PAST_MS: number = 15 * 60_000;

/** Journal entries of what the collector finds. Ids follow from content: found again, they are the same entries. */
export function runEntry(record: RunRecord): JournalEntry {
  const { run } = record;
  const place = { id: runEntryId(run.id), station: run.station, subject: run.id, atMs: run.endMs };
  return { kind: "run", body: record, ...place };
}

export function runEntryId(run: string): string {
  return `run/${run}`;
}

export function pointEntry(station: string, point: PointRecord): JournalEntry {
  const id = `point/${point.characteristic}/${point.run}`;
  return { kind: "point", body: point, id, station, subject: point.characteristic, atMs: point.atMs };
}

export function signalEntry(signal: Signal, foundMs: number): JournalEntry {
  const body = { signal, foundMs, late: foundMs - signal.atMs > PAST_MS };
  const { id, station, characteristic: subject, atMs } = signal;
  return { kind: "signal", body, id, station, subject, atMs };
}

export function limitsEntry(station: string, set: LimitSet): JournalEntry {
  return {
    kind: "limits",
    body: set,
    id: `limits/${set.id}`,
    station,
    subject: set.characteristic,
    atMs: set.frozenAtMs,
  };
}

export function proposedEntry(station: string, body: Proposed): JournalEntry {
  const { proposal, characteristic: subject, atMs } = body;
  return { kind: "proposed", body, id: `proposed/${proposal}`, station, subject, atMs };
}

/** A proposal is agreed or withdrawn once: of two that decide at once the journal keeps the first of each. */
export function agreedEntry(station: string, body: Agreed): JournalEntry {
  const { proposal, characteristic: subject, atMs } = body;
  return { kind: "agreed", body, id: `agreed/${proposal}`, station, subject, atMs };
}

export function withdrawnEntry(station: string, body: Withdrawn): JournalEntry {
  const { proposal, characteristic: subject, atMs } = body;
  return { kind: "withdrawn", body, id: `withdrawn/${proposal}`, station, subject, atMs };
}

export function appliedEntry(station: string, applied: Applied, foundMs: number): JournalEntry {
  const id = `applied/${applied.entry}`;
  return { kind: "applied", body: applied, id, station, subject: applied.characteristic, atMs: foundMs };
}

export function silenceEntry(silence: Silence): JournalEntry {
  const { flag, station, sinceMs, foundMs } = silence;
  const id = `silence/${flag}/${compactTime(sinceMs)}`;
  return { kind: "silence", body: silence, id, station, subject: flag, atMs: foundMs };
}

/** A beginning and its end are told apart; neither comes twice. */
export function instrumentEntry(news: InstrumentNews): JournalEntry {
  const { flag, station, series, check, state, sinceMs, atMs } = news;
  const id = `instrument/${series}/${check}/${compactTime(sinceMs)}/${state}`;
  return { kind: "instrument", body: news, id, station, subject: flag, atMs };
}

/** A flag has one common cause at most, whoever finds it. */
export function commonEntry(common: CommonCause): JournalEntry {
  const { flag, station, child, atMs } = common;
  return { kind: "common", body: common, id: `common/${child}`, station, subject: flag, atMs };
}

export function unseenEntry(unseen: Unseen): JournalEntry {
  const { flag, station, foundMs } = unseen;
  return { kind: "unseen", body: unseen, id: `unseen/${flag}`, station, subject: flag, atMs: foundMs };
}

/** Of one flag all messages hang on the flag; a trial hangs on nothing but itself. */
export function messageEntry(station: string, message: Message): JournalEntry {
  const { id, flag, queuedMs: atMs } = message;
  return { kind: "message", body: message, id: `message/${id}`, station, subject: flag ?? id, atMs };
}

/** Of one feature at one station and time only the first is kept; another value for it is a correction. */
export function writtenDownEntry(station: string, body: WrittenDown): JournalEntry {
  const subject = `${station}:${body.feature}`;
  const id = writtenDownId(`${subject}:${compactTime(body.takenMs)}`);
  return { kind: "written-down", body, id, station, subject, atMs: body.takenMs };
}

/** `written` is station, feature and time, as they stand in an address. */
export function writtenDownId(written: string): string {
  return `written-down/${written}`;
}

export function correctedEntry(station: string, body: Corrected): JournalEntry {
  const id = `corrected/${body.written}/${compactTime(body.atMs)}`;
  return { kind: "corrected", body, id, station, subject: body.written, atMs: body.atMs };
}

/** Of one station and time only the first is kept; what stands instead of another is called after when it was said as well. */
export function setUpEntry(station: string, body: SetUp): JournalEntry {
  const said = body.instead === null ? "" : `.${compactTime(body.saidMs)}`;
  const id = `${setUpStart}${station}:${compactTime(body.fromMs)}${said}`;
  return { kind: "set-up", body, id, station, subject: station, atMs: body.fromMs };
}

const setUpStart = "set-up/";

/** What a set-up is called in addresses, and by those that stand instead of it: its entry's id without the kind. */
export function setUpId(entry: string): string {
  return entry.slice(setUpStart.length);
}

/** The id of the entry of a set-up. */
export function setUpEntryId(setUp: string): string {
  return `${setUpStart}${setUp}`;
}

/** A set-up is heard of once. */
export function setUpHeardEntry(station: string, body: SetUpHeard): JournalEntry {
  const { setUp, heardMs: atMs } = body;
  return { kind: "set-up-heard", body, id: `set-up-heard/${setUp}`, station, subject: setUp, atMs };
}

export function recomputeAskedEntry(station: string, body: RecomputeAsked): JournalEntry {
  const id = `${askStart}${station}:${compactTime(body.atMs)}`;
  return { kind: "recompute-asked", body, id, station, subject: station, atMs: body.atMs };
}

const askStart = "recompute-asked/";

/** What an ask is called: its entry's id without the kind. */
export function recomputeAskId(entry: string): string {
  return entry.slice(askStart.length);
}

/** An ask revises a run once. */
export function revisedEntry(station: string, body: Revised, endMs: number): JournalEntry {
  const id = `revised/${body.ask}/${body.run}`;
  return { kind: "revised", body, id, station, subject: body.run, atMs: endMs };
}

export function recomputedEntry(station: string, body: Recomputed): JournalEntry {
  return { kind: "recomputed", body, id: `recomputed/${body.ask}`, station, subject: body.ask, atMs: body.atMs };
}

/** A time as ids carry it: `20261125T080512345Z`. */
export function compactTime(tMs: number): string {
  return new Date(tMs).toISOString().replaceAll(/[-:.]/g, "");
}
