/** How a file is to be read, where the command says so; null leaves it to the file. */
export interface Reading {
  readonly separator: "comma" | "semicolon" | "tab" | null;
  readonly decimal: "point" | "comma" | null;
  readonly encoding: "utf-8" | "latin-1" | null;
}
