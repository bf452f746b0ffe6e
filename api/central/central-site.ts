import { existsSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { Fault } from "../../collector/platform/fault.ts";
import type { Site } from "../../collector/platform/settings/site.ts";
import { lineSettings } from "../../collector/start.ts";
import { readSite } from "../read-settings.ts";

export interface LineSite {
  readonly id: string;
  readonly folder: string;
  readonly site: Site;
}

/** The lines whose copies lie in a folder, each in a folder of its own. */
export function linesIn(folder: string): readonly LineSite[] {
  const names = namesIn(folder).filter((name) => existsSync(join(folder, name, lineSettings)));
  const lines = names.sort().map((id) => {
    return { id, folder: join(folder, id), site: readSite(join(folder, id, lineSettings)) };
  });
  const words = collisions(lines);
  if (words.length > 0) throw new Fault("lines-collide", words.join("\n"), { retryable: false });
  return lines;
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
