import { type Signal, signal } from "@preact/signals";
import type { WireMessageSetUp } from "../../api/contract/message-wire.ts";
import type { WireCharacteristic, WireFlag, WirePoint } from "../../api/contract/wire.ts";
import { ask, proveWith } from "../client/ask.ts";
import { paths } from "../client/paths.ts";
import { siteTimes } from "../model/times.ts";
import { sendWaiting, take } from "./outbox.ts";
import { getAll, type KeptCard, type KeptTake, type OwnDevice, ownDevice, proofOf } from "./pocket-store.ts";

/** What the phone knows by itself. */
export const own: Signal<{
  readonly device: OwnDevice | undefined;
  readonly cards: ReadonlyMap<string, KeptCard>;
  readonly takes: ReadonlyMap<string, KeptTake>;
} | null> = signal(null);

/** What the plant says; `asked` with nothing else means that it was not reached. */
export interface PlantNews {
  readonly zone: string;
  readonly flags: readonly WireFlag[];
  readonly runWords: ReadonlyMap<string, string>;
  readonly atMs: number;
}
export const plant: Signal<PlantNews | null> = signal(null);
export const reached: Signal<boolean | null> = signal(null);
export const setUp: Signal<WireMessageSetUp | null> = signal(null);

const LOOK_MS = 5_000;

interface Floor {
  readonly site: { readonly zone: string };
  readonly stations: readonly { readonly id: string; readonly runWord: string }[];
}

export async function readOwn(): Promise<void> {
  const [device, cards, takes] = await Promise.all([ownDevice(), getAll("cards"), getAll("takes")]);
  proveWith(proofOf(device));
  own.value = {
    device,
    cards: new Map(cards.map((card) => [card.flag, card])),
    takes: new Map(takes.map((one) => [one.flag, one])),
  };
}

/** Asks the plant, after what waits here was sent. */
export async function look(): Promise<void> {
  try {
    await sendWaiting(Date.now);
    const [floor, flags] = await Promise.all([
      ask<Floor>(paths.floor),
      ask<{ readonly items: readonly WireFlag[] }>("/api/flags?state=open&limit=200"),
    ]);
    plant.value = {
      ...{ zone: floor.site.zone, flags: flags.items, atMs: Date.now() },
      runWords: new Map(floor.stations.map(({ id, runWord }) => [id, runWord])),
    };
    keepZone(floor.site.zone);
    reached.value = true;
  } catch {
    // Refused or unreached: either way the plant says nothing, and the card says that it did not.
    reached.value = false;
  }
  await readOwn();
}

/** On the site's clock where it is known, else on the phone's own. */
export function clockTime(ms: number): string {
  return siteTimes(plant.value?.zone ?? keptZone() ?? Intl.DateTimeFormat().resolvedOptions().timeZone).clock(ms);
}

const zoneKey = "steadypour.zone";

function keepZone(zone: string): void {
  try {
    localStorage.setItem(zoneKey, zone);
  } catch {
    // A browser that keeps nothing shows the phone's own time while the plant is out of reach.
  }
}

function keptZone(): string | null {
  try {
    return localStorage.getItem(zoneKey);
  } catch {
    return null;
  }
}

/** One flag that is closed by now, or older than the list reaches. */
export function askFlag(id: string): Promise<WireFlag> {
  return ask<WireFlag>(`/api/flags/${encodeURIComponent(id)}`);
}

/** Flags of a chart that were closed before, newest first. */
export async function askEarlier(characteristic: string): Promise<readonly WireFlag[]> {
  const query = new URLSearchParams({ state: "done", characteristic, limit: "20" });
  return (await ask<{ readonly items: readonly WireFlag[] }>(`/api/flags?${query}`)).items;
}

export async function askStrip(
  id: string,
): Promise<{ readonly characteristic: WireCharacteristic; readonly points: readonly WirePoint[] }> {
  const [characteristic, points] = await Promise.all([
    ask<WireCharacteristic>(paths.characteristic(id)),
    ask<{ readonly items: readonly WirePoint[] }>(`${paths.characteristic(id)}/points?limit=30`),
  ]);
  return { characteristic, points: [...points.items].reverse() };
}

export async function takeIt(flag: string, by: string): Promise<void> {
  await take(flag, by, Date.now());
  await readOwn();
  await look();
  await laterFromWorker();
}

/** Where the browser knows how, it sends what is left even after this page is closed. */
async function laterFromWorker(): Promise<void> {
  const registration = (await navigator.serviceWorker?.getRegistration("/pocket")) as
    | (ServiceWorkerRegistration & { readonly sync?: { register(tag: string): Promise<void> } })
    | undefined;
  // Not everywhere, and not always allowed: then it is sent when this page is opened again.
  await registration?.sync?.register("waiting").catch(() => undefined);
}

export function startLooking(): void {
  void readOwn().then(look);
  setInterval(() => {
    if (document.visibilityState === "visible") void look();
  }, LOOK_MS);
  window.addEventListener("online", () => void look());
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") void look();
  });
  navigator.serviceWorker?.addEventListener("message", () => void look());
}
