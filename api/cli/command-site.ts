import type { Environment } from "../../collector/platform/environment.ts";
import { Fault } from "../../collector/platform/fault.ts";
import type { Site } from "../../collector/platform/settings/site.ts";
import { readSite, usualFile } from "../read-settings.ts";
import { UsageError } from "./usage-error.ts";

/** The site a command works on: of its own option, else of the environment, else of the usual file. */
export function commandSite(option: string | undefined, environment: Environment): Site {
  return siteOf(option ?? environment.config ?? usualFile);
}

/** A file that is wrong was given to the command, so its mistakes are the command's. */
export function siteOf(file: string): Site {
  try {
    return readSite(file);
  } catch (error) {
    if (error instanceof Fault) throw new UsageError(error.message);
    throw error;
  }
}
