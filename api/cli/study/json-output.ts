import type { Column } from "../../../spc/model/column.ts";
import { type DrawnChart, verdictAt } from "../../../spc/model/drawn-chart.ts";
import type { StudiedChart, StudyResult } from "../../../spc/study/result.ts";

/** Characters that are handed on at a time. */
const piece = 2 ** 16;

/**
 * A result as one JSON object on one line, in pieces: of ten million points no text is ever held whole. Numbers stand
 * at full precision, and null where there is none.
 */
export function* resultJson(result: StudyResult): Generator<string> {
  yield `{"n":${result.n},"charts":[`;
  for (const [at, studied] of result.charts.entries()) yield* chartJson(studied, at === 0 ? "" : ",");
  const { sigmaWithin, sigmaOverall, diagnostics, changePoints, capability, cautions, form, advice } = result;
  const rest = JSON.stringify(
    { sigmaWithin, sigmaOverall, diagnostics, changePoints, capability, cautions, form, advice },
    finite,
  );
  yield `],${rest.slice(1)}\n`;
}

function* chartJson({ chart, signals }: StudiedChart, before: string): Generator<string> {
  const { kind, provenance, refusal, lower, upper } = chart;
  const head = {
    kind,
    ...(refusal === null ? {} : { refused: refusal.code, why: refusal.detail }),
    centre: only(chart.centres),
    sigma: only(chart.sigmas),
    provenance: {
      estimator: provenance.estimator,
      from: provenance.from,
      to: provenance.to,
      n: provenance.n,
      k: provenance.k,
    },
  };
  let text = `${before}${JSON.stringify(head, finite).slice(0, -1)},"points":[`;
  const [low, high] = [fixedText(lower), fixedText(upper)];
  for (let place = 0; place < chart.values.length; place++) {
    const comma = place === 0 ? "" : ",";
    const value = numberText(chart.values.at(place));
    const lowerText = low ?? numberText(lower.at(place));
    const upperText = high ?? numberText(upper.at(place));
    text += `${comma}{"index":${place},"value":${value},"lower":${lowerText},"upper":${upperText},"verdict":"${verdictAt(chart, place)}","signals":`;
    text += signals.any(place) ? `${JSON.stringify(signals.at(place), signalKeys)}}` : "[]}";
    if (text.length >= piece) {
      yield text;
      text = "";
    }
  }
  yield `${text}]}`;
}

const signalKeys = ["rule", "side", "members"];

/** The text of a column that is one number throughout, made once; null where places differ. */
function fixedText({ raw }: Column): string | null {
  return typeof raw === "number" ? numberText(raw) : null;
}

function numberText(value: number | null): string {
  return value !== null && Number.isFinite(value) ? String(value) : "null";
}

/** The number that a line has at every place where it has one; null where it moves from place to place. */
export function only({ raw }: DrawnChart["centres"]): number | null {
  if (typeof raw === "number") return Number.isFinite(raw) ? raw : null;
  let one: number | null = null;
  for (const value of raw) {
    if (!Number.isFinite(value)) continue;
    if (one !== null && value !== one) return null;
    one = value;
  }
  return one;
}

/** JSON has no other numbers than finite ones; JSON.stringify gives null for them, and this says so on purpose. */
function finite(_key: string, value: unknown): unknown {
  return typeof value === "number" && !Number.isFinite(value) ? null : value;
}
