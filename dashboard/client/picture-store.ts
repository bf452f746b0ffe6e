import { computed, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import type { LiveFrame, WireFlag, WireFloor } from "../../api/contract/wire.ts";
import { floorOf } from "../model/floor.ts";
import { type Picture, pictureOf, withFlag, withFrame } from "../model/picture.ts";
import { announceFlags } from "./announcer.ts";
import { ask } from "./ask.ts";
import { type Live, openLive } from "./live.ts";
import { paths } from "./paths.ts";
import { lookAgain } from "./session.ts";

const repaintMs = 1_000;
/** What people do to flags is shown sooner than values are. */
const flagRepaintMs = 200;
/** No frame for this long: the picture is old, and says so. */
export const oldAfterMs = 30_000;
/** What only the floor's own answer carries, such as the shift and what chance gives, is asked for again so often. */
const refreshMs = 300_000;
/** New limits change every line on a page: asked for soon, with whatever else changes meanwhile. */
const limitsRefreshMs = 2_000;

/** What is drawn. While the picture is held it stands still, though news keep coming in. */
export const picture: Signal<Picture | null> = signal<Picture | null>(null);
/** The server's clock, this second. */
export const clockMs: Signal<number> = signal(Date.now());
/** When the last frame came, by the server's clock; null before the first. */
export const lastNewsMs: Signal<number | null> = signal<number | null>(null);
export const tries: Signal<number> = signal(0);
/** Server time at which the picture was held, or null. */
export const heldAtMs: Signal<number | null> = signal<number | null>(null);

/** By characteristic, how often its limits or proposals changed while the page was open. */
export const limitsNews: Signal<ReadonlyMap<string, number>> = signal<ReadonlyMap<string, number>>(new Map());

/** Clock for ages: stands still with the picture. */
export const pictureMs: ReadonlySignal<number> = computed(() => heldAtMs.value ?? clockMs.value);
/** The same to the minute, for words that need no more. */
export const pictureMinuteMs: ReadonlySignal<number> = computed(() => Math.floor(pictureMs.value / 60_000) * 60_000);
export const pictureAgeMs: ReadonlySignal<number> = computed(() =>
  Math.max(0, clockMs.value - (lastNewsMs.value ?? clockMs.value)),
);
export const pictureOld: ReadonlySignal<boolean> = computed(() => pictureAgeMs.value >= oldAfterMs);

let arriving: Picture | null = null;
let aheadMs = 0;
let paintedAt = 0;
let paintTimer = 0;
let paintDue = Number.POSITIVE_INFINITY;
let refreshTimer = 0;
let live: Live | null = null;

/** Starts the clock and the stream. */
export function startPicture(): void {
  setInterval(tick, 1_000);
  document.addEventListener("visibilitychange", () => {
    // Hidden pages are slowed down by the browser: on return take stock at once.
    if (document.visibilityState !== "visible") return;
    tick();
    if (pictureAgeMs.value > 5_000) live?.retry();
  });
  void loadFloor();
}

export function hold(): void {
  heldAtMs.value = heldAtMs.value === null ? clockMs.value : null;
  if (heldAtMs.value === null) paint();
}

/** A flag as the server answered it to an action of ours: shown at once, even while the picture is held. */
export function flagAnswered(flag: WireFlag): void {
  if (arriving !== null) arriving = withFlag(arriving, flag);
  if (picture.value !== null) picture.value = withFlag(picture.value, flag);
}

function tick(): void {
  clockMs.value = Date.now() + aheadMs;
}

function heard(now: string): void {
  aheadMs = Date.parse(now) - Date.now();
  tick();
  lastNewsMs.value = clockMs.value;
  tries.value = 0;
}

async function loadFloor(attempt = 0): Promise<void> {
  try {
    const floor = floorOf(await ask<WireFloor>(paths.floor));
    const before = arriving;
    arriving = pictureOf(floor, before);
    heard(floor.now);
    if (before !== null) announceFlags(newFlags(before, floor.flags));
    paint();
    refreshLater(refreshMs);
    live ??= openLive({
      after: () => arriving?.seq ?? 0,
      frame: onFrame,
      lost: (n) => {
        tries.value = n;
        // A server that refuses the stream says no reason in a browser; that the session is over would be one.
        if (n > 1) void lookAgain();
      },
      ended: () => void lookAgain(),
    });
  } catch {
    // Said on the page by `tries` and by the age of the picture; asked again until there is an answer.
    tries.value = attempt + 1;
    if (attempt > 0) void lookAgain();
    window.setTimeout(() => void loadFloor(attempt + 1), Math.min(3_000, 500 * 2 ** attempt));
  }
}

function onFrame(frame: LiveFrame): void {
  if (arriving === null) return;
  if (frame.type === "resync") {
    void loadFloor();
    return;
  }
  heard(frame.now);
  if (frame.type === "hello") {
    // The server knows less than we do: its data began anew.
    if (frame.seq < arriving.seq) {
      arriving = null;
      void loadFloor();
    }
    return;
  }
  if (frame.type === "changes") {
    announceFlags(newFlags(arriving, frame.flags));
    if (frame.limits.length > 0) {
      refreshLater(limitsRefreshMs);
      const heard = new Map(limitsNews.value);
      for (const id of frame.limits) heard.set(id, (heard.get(id) ?? 0) + 1);
      limitsNews.value = heard;
    }
  }
  arriving = withFrame(arriving, frame);
  paintSoon(frame.type === "changes" && frame.flags.length > 0 ? flagRepaintMs : repaintMs);
}

function newFlags(before: Picture, come: readonly WireFlag[]): readonly WireFlag[] {
  return come.filter((flag) => flag.state === "waiting" && before.flags.get(flag.id)?.label !== flag.label);
}

function paintSoon(everyMs: number): void {
  if (heldAtMs.value !== null) return;
  clearTimeout(paintTimer);
  paintDue = Math.min(paintDue, Math.max(performance.now(), paintedAt + everyMs));
  paintTimer = window.setTimeout(paint, paintDue - performance.now());
}

function paint(): void {
  clearTimeout(paintTimer);
  paintDue = Number.POSITIVE_INFINITY;
  if (heldAtMs.value !== null) return;
  paintedAt = performance.now();
  picture.value = arriving;
}

let refreshDue = Number.POSITIVE_INFINITY;

function refreshLater(ms: number): void {
  const due = performance.now() + ms;
  if (due >= refreshDue) return;
  clearTimeout(refreshTimer);
  refreshDue = due;
  refreshTimer = window.setTimeout(() => {
    refreshDue = Number.POSITIVE_INFINITY;
    void loadFloor();
  }, ms);
}
