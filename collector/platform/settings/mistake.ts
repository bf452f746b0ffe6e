/** Where in the settings: keys and positions from the top. */
export type SettingsPath = readonly (string | number)[];

/** Something wrong, before it is known where in the text it stands. */
export interface Finding {
  readonly path: SettingsPath;
  /** What stood there; left out, the text at the path is quoted. */
  readonly found?: string;
  readonly expected: string;
  /** True when the key itself is wrong, not what it holds. */
  readonly atKey?: boolean;
}

/** Something wrong in a settings file, with all that a person needs to mend it. */
export interface Mistake {
  /** Counted from 1. */
  readonly line: number;
  readonly column: number;
  /** Such as `stations[3].kind`; empty for the file as a whole. */
  readonly path: string;
  readonly found: string;
  readonly expected: string;
}

export function pathText(path: SettingsPath): string {
  return path.reduce<string>((text, part) => {
    if (typeof part === "number") return `${text}[${part}]`;
    return text === "" ? part : `${text}.${part}`;
  }, "");
}

/** One line a mistake, as compilers write them, so that editors can jump there. */
export function mistakeLine(file: string, mistake: Mistake): string {
  const place = mistake.path === "" ? "" : `${mistake.path}: `;
  return `${file}:${mistake.line}:${mistake.column}: ${place}found ${mistake.found}, expected ${mistake.expected}`;
}
