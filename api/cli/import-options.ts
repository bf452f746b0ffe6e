import { readFileSync } from "node:fs";
import { isZone, zoneOffsets } from "../../collector/platform/settings/zone-offsets.ts";
import { linesOf } from "./import-lines.ts";
import { UsageError } from "./usage-error.ts";

const formats = ["csv-long", "csv-wide", "line-protocol"] as const;
export type ImportFormat = (typeof formats)[number];

const times = ["iso", "local", "s", "ms", "us", "ns"] as const;
export type ImportTime = (typeof times)[number];

/** The format that was asked for, or the one that the first line shows. */
export function importFormat(asked: string | undefined, file: string): ImportFormat {
  if (asked !== undefined) return oneOf("format", formats, asked);
  for (const { texts } of linesOf(file, { offset: 0, line: 1 })) {
    const first = texts.find((text) => text !== "" && text?.startsWith("#") !== true) ?? "";
    // What some spreadsheets write as text is UTF-16, in which each letter of ours has a nought beside it.
    if (texts[0] === null || first.includes("\0")) throw new UsageError(`${file}:1:1: expected UTF-8 text`);
    const names = first
      .toLowerCase()
      .split(/[,;\t]/)
      .map((name) => name.trim());
    if (names.includes("series") && names.includes("value")) return "csv-long";
    if (names[0] === "time") return "csv-wide";
    if (/^[^ ]+ [^ ]+=/.test(first)) return "line-protocol";
    break;
  }
  throw new UsageError(`${file}:1:1: the first line shows none of the formats: say --format ${formats.join(", ")}`);
}

export function importTime(asked: string | undefined, format: ImportFormat): ImportTime {
  if (asked === undefined) return format === "line-protocol" ? "ns" : "iso";
  return oneOf("time", times, asked);
}

/** Offsets of the zone that local times are of. */
export function importZone(zone: string): ReturnType<typeof zoneOffsets> {
  if (isZone(zone)) return zoneOffsets(zone);
  throw new UsageError(`--zone: found ${zone}, expected a zone of the IANA time zone database, such as CET`);
}

export function importDecimal(asked: string | undefined): "point" | "comma" {
  return asked === undefined ? "point" : oneOf("decimal", ["point", "comma"] as const, asked);
}

/** `--unit PR-01/pressure=bar --unit step=1`. */
export function importUnits(asked: readonly string[]): ReadonlyMap<string, string> {
  return new Map(
    asked.map((text) => {
      const at = text.indexOf("=");
      if (at > 0 && at < text.length - 1) return [text.slice(0, at), text.slice(at + 1)] as const;
      throw new UsageError(`--unit: found ${text}, expected a series or role and a UCUM code, such as pressure=bar`);
    }),
  );
}

/** Where a running product answers. */
export function importAddress(asked: string): URL {
  const url = URL.canParse(asked) ? new URL(asked) : null;
  if (url !== null && ["http:", "https:"].includes(url.protocol)) return url;
  throw new UsageError(`--to: found ${asked}, expected an address such as http://127.0.0.1:8080`);
}

/** The token of a program, from a file: on the command line others could read it. */
export function importToken(file: string | undefined): string | null {
  if (file === undefined) return null;
  try {
    const token = readFileSync(file, "utf8").trim();
    if (/^[\w-]{20,200}$/.test(token)) return token;
  } catch (error) {
    throw new UsageError(`--token-file: ${file} cannot be read, ${(error as Error).message}`);
  }
  throw new UsageError(`--token-file: ${file} holds no token, expected the one that the page People showed`);
}

function oneOf<T extends string>(name: string, known: readonly T[], found: string): T {
  const one = known.find((word) => word === found);
  if (one !== undefined) return one;
  throw new UsageError(`--${name}: found ${found}, expected ${known.join(", ")}`);
}
