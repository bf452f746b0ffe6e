import type { Floor } from "../model/floor.ts";

const key = "steadypour.places";

/** Where the stations stand: remembered, so that the Floor's outlines carry their names before any data come. */
export interface Places {
  readonly stages: readonly string[];
  readonly stations: readonly { readonly id: string; readonly stage: string }[];
}

let remembered = "";

export function rememberPlaces(floor: Floor): void {
  const places: Places = {
    stages: floor.stages,
    stations: floor.stations.map(({ id, stage }) => ({ id, stage })),
  };
  const text = JSON.stringify(places);
  if (text === remembered) return;
  remembered = text;
  try {
    localStorage.setItem(key, text);
  } catch {
    // Without it the outlines have no names, no more.
  }
}

export function knownPlaces(): Places | null {
  try {
    const text = localStorage.getItem(key);
    return text === null ? null : (JSON.parse(text) as Places);
  } catch {
    return null;
  }
}
