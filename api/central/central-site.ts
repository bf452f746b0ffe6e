import { existsSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { Fault } from "../../collector/platform/fault.ts";
import type { Site } from "../../collector/platform/settings/site.ts";
import { lineSettings, settingsLook } from "../../collector/start.ts";
import { readSettings } from "../read-settings.ts";

export interface LineSite {
  readonly id: string;
  readonly folder: string;
  readonly site: Site;
  /** Of the settings that the site was read from: entries are taken only beside these. */
  readonly settings: string;
}

/** A line whose settings cannot be read by this version. */
export interface UnreadLine {
  readonly id: string;
  readonly words: string;
}

export interface Lines {
  readonly lines: readonly LineSite[];
  readonly unread: readonly UnreadLine[];
}

/** The lines whose copies lie in a folder, each in a folder of its own. */
export function linesIn(folder: string): Lines {
  const lines: LineSite[] = [];
  const unread: UnreadLine[] = [];
  for (const id of lineNames(folder)) {
    try {
      const { site, digest } = readSettings(join(folder, id, lineSettings));
      lines.push({ id, folder: join(folder, id), site, settings: digest ?? "" });
    } catch (error) {
      // One line's mistake must not hide the others.
      if (!(error instanceof Fault)) throw error;
      unread.push({ id, words: error.message });
    }
  }
  const words = collisions(lines);
  if (words.length > 0) throw new Fault("lines-collide", words.join("\n"), { retryable: false });
  return { lines, unread };
}

/** Tells by line the digest of its settings as they lie there now; those that did not change are not read again. */
export function lineMarks(folder: string): () => ReadonlyMap<string, string> {
  const looks = new Map<string, () => string | null>();
  const lookOf = (id: string): (() => string | null) => {
    const look = looks.get(id) ?? settingsLook(join(folder, id));
    looks.set(id, look);
    return look;
  };
  return () =>
    new Map(
      lineNames(folder).flatMap((id) => {
        const mark = lookOf(id)();
        return mark === null ? [] : [[id, mark] as const];
      }),
    );
}

function lineNames(folder: string): readonly string[] {
  return namesIn(folder)
    .filter((name) => existsSync(join(folder, name, lineSettings)))
    .sort();
}

function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder);
  } catch (cause) {
    const words = `STEADYPOUR_LINES: ${folder} cannot be read: ${(cause as Error).message}`;
    throw new Fault("environment-invalid", words, { retryable: false, cause });
  }
}

/** What two lines both call theirs: one would be shown in place of the other. */
function collisions(lines: readonly LineSite[]): readonly string[] {
  const said: string[] = [];
  const look = (what: string, idsOf: (site: Site) => readonly string[]): void => {
    const owner = new Map<string, string>();
    for (const { id, site } of lines) {
      for (const one of idsOf(site)) {
        const other = owner.get(one);
        if (other !== undefined) said.push(`the lines ${other} and ${id} both have the ${what} ${one}`);
        owner.set(one, id);
      }
    }
  };
  look("site name", ({ name }) => [name]);
  look("station", ({ stations }) => stations.map(({ id }) => id));
  look("line", (site) => site.lines.map(({ id }) => id));
  look("source", ({ sources }) => sources.map(({ id }) => id));
  look("supply", ({ supplies }) => supplies.map(({ id }) => id));
  return said;
}

/** All lines as one site: what is of the office (name, zone, people, doors, store) is said by its own settings. */
export function centralSite(own: Site, lines: readonly LineSite[]): Site {
  const sites = lines.map(({ site }) => site);
  const together = <T>(of: (site: Site) => readonly T[]): readonly T[] => [...new Set(sites.flatMap(of))];
  return {
    ...own,
    shifts: own.shifts.length > 0 ? own.shifts : (sites[0]?.shifts ?? []),
    lines: together((site) => site.lines),
    stages: together(({ stages }) => stages),
    sources: together(({ sources }) => sources),
    stations: together(({ stations }) => stations),
    supplies: together(({ supplies }) => supplies),
    causes: together(({ causes }) => causes),
    // Messages go out at the line, where somebody can act on them.
    messages: null,
  };
}
