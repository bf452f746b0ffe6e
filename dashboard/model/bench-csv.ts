import type { WireBench } from "../../api/contract/bench-wire.ts";

type Cell = string | number | null;

/**
 * The points that are drawn, as CSV (RFC 4180, CRLF). Numbers have all their digits, so that reading them back gives the
 * same ones. Words that a spreadsheet would take for a formula are led by an apostrophe; a number never is. The head of the Change Record
 * stands in the last column, so that a file kept elsewhere can later prove that the record was not altered.
 */
export function benchCsv(bench: WireBench, recordHead: string | null = null): string {
  const { characteristic } = bench;
  const numbers = new Map(bench.flags.map(({ id, number }) => [id, number]));
  const causes = new Map(bench.exclusions.map((one) => [one.run, one.cause]));
  const revisions = new Map(
    bench.phases.flatMap(({ limits }) => (limits === null ? [] : [[limits.id, limits.revision]])),
  );
  const head = [
    ...["characteristic", "run", "ended", "unit", "value", "low limit", "centre", "high limit", "judged"],
    ...["spread", "spread low limit", "spread centre", "spread high limit", "spread judged"],
    ...["limits", "imported", "flag", "left out because", "no value because"],
    ...(recordHead === null ? [] : ["change record"]),
  ];
  const rows = bench.points.map((point): readonly Cell[] => [
    ...[characteristic.id, point.run, point.at, characteristic.unit],
    ...[
      point.location.value,
      point.location.lower,
      point.location.centre,
      point.location.upper,
      point.location.verdict,
    ],
    ...[point.spread.value, point.spread.lower, point.spread.centre, point.spread.upper, point.spread.verdict],
    point.limitSet === null ? null : (revisions.get(point.limitSet) ?? point.limitSet),
    point.imported ? "yes" : "no",
    point.flag === null || point.signals.length === 0 ? null : (numbers.get(point.flag) ?? point.flag),
    causes.get(point.run) ?? null,
    point.location.value === null ? (point.refusal?.detail ?? "no value") : null,
    ...(recordHead === null ? [] : [recordHead]),
  ]);
  return [head, ...rows].map((cells) => `${cells.map(csvCell).join(",")}\r\n`).join("");
}

export function csvCell(cell: Cell): string {
  if (cell === null) return "";
  if (typeof cell === "number") return String(cell);
  const safe = /^[=+\-@\t\r]/.test(cell) ? `'${cell}` : cell;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}

/** A file's name: what it holds, and what no file system objects to. */
export function fileName(bench: WireBench, ending: "csv" | "svg"): string {
  const last = bench.points.at(-1)?.at.slice(0, 16).replace(/\D/g, "") ?? "empty";
  return `${bench.characteristic.id.replace(/[^A-Za-z0-9.-]+/g, "_")}_${last}.${ending}`;
}
