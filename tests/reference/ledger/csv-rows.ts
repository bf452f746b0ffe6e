/** Rows of a CSV text (RFC 4180) as objects by the names in its first row. */
export function csvRows(text: string): readonly Readonly<Record<string, string>>[] {
  const [names, ...rows] = cells(text);
  if (names === undefined) throw new Error("a CSV file without a header");
  return rows.map((row, i) => {
    if (row.length !== names.length)
      throw new Error(`row ${i + 2} has ${row.length} cells, the header ${names.length}`);
    return Object.fromEntries(names.map((name, column) => [unlike(names, name, column), row[column]!]));
  });
}

/** A name that stands twice in the header would hide its first column: the second is called `name (2)`. */
function unlike(names: readonly string[], name: string, column: number): string {
  const before = names.slice(0, column).filter((other) => other === name).length;
  return before === 0 ? name : `${name} (${before + 1})`;
}

function cells(text: string): readonly (readonly string[])[] {
  const rows: string[][] = [];
  let row: string[] = [];
  // A cell, quoted or bare, and what ends it.
  for (const [whole, quoted, bare, end] of text.matchAll(/(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|\r?\n|$)/g)) {
    if (whole === "" && row.length === 0) break;
    row.push(quoted?.replaceAll('""', '"') ?? bare ?? "");
    if (end === ",") continue;
    rows.push(row);
    row = [];
  }
  return rows;
}
