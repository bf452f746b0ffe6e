import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { Fault } from "../../../../collector/platform/fault.ts";
import { findSettings } from "../../../../collector/platform/settings/find-settings.ts";
import { temporaryFolder } from "../../../temporary-folder.ts";
import { siteText } from "./site-text.ts";

function codeOf(work: () => unknown): string {
  try {
    work();
  } catch (error) {
    if (error instanceof Fault) return error.code;
    throw error;
  }
  return "none";
}

test("a named file must be there and be right; without a name an empty site is valid", () => {
  const folder = temporaryFolder();
  try {
    const file = join(folder.path, "site.yaml");
    expect(codeOf(() => findSettings(file))).toBe("settings-unreadable");
    expect(codeOf(() => findSettings(folder.path))).toBe("settings-unreadable");
    writeFileSync(file, siteText.replace("zone: CET", "zone: Nowhere"));
    expect(codeOf(() => findSettings(file))).toBe("settings-invalid");
    writeFileSync(file, siteText);
    expect(findSettings(file)).toMatchObject({ file, site: { name: "Small works" } });
  } finally {
    folder.remove();
  }
  expect(findSettings(null)).toMatchObject({ file: null, site: { stations: [], zone: "UTC" } });
});
