import type { JSX } from "preact";
import { renderToString } from "preact-render-to-string";
import { isMarked } from "../../../dashboard/marks/drawn-chart/bins.ts";
import { DrawnChartsMark } from "../../../dashboard/marks/drawn-chart/drawn-charts-mark.tsx";
import { drawnChartsStyle } from "../../../dashboard/marks/drawn-chart/drawn-charts-style.ts";
import { chartPicture } from "../../../dashboard/marks/drawn-chart/picture.ts";
import { verdictAt } from "../../../spc/model/drawn-chart.ts";
import type { StudiedChart, StudyResult } from "../../../spc/study/result.ts";
import { formWords, kindWords } from "./form-words.ts";
import { resultWords, text } from "./words.ts";

interface Drawing {
  readonly width: number;
  readonly left: number;
  readonly right: number;
}

const wide: Drawing = { width: 960, left: 64, right: 124 };
const narrow: Drawing = { width: 360, left: 52, right: 58 };
const locationHeight = 300;
const spreadHeight = 150;

/** The charts as a picture that stands alone. */
export function studySvg(result: StudyResult, title: string): string {
  return `${renderToString(<Charts result={result} title={title} drawing={wide} style={drawnChartsStyle} />)}\n`;
}

/** One page with everything in it: nothing is loaded from elsewhere, and it holds no script. */
export function studyPage(result: StudyResult, title: string): string {
  return `<!doctype html>\n${renderToString(<Page result={result} title={title} />)}\n`;
}

function Charts(props: {
  readonly result: StudyResult;
  readonly title: string;
  readonly drawing: Drawing;
  readonly style?: string;
}): JSX.Element {
  const { result, drawing, title } = props;
  const width = drawing.width - drawing.left - drawing.right;
  const charts = result.charts.map(({ chart, signals }, at) => {
    const picture = chartPicture(chart, signals, { width, height: at === 0 ? locationHeight : spreadHeight });
    const each = picture.each > 1 ? `, up to ${picture.each} points a column from least to greatest` : "";
    return { picture, name: `${kindWords(chart.kind)}${drawing === wide ? each : ""}` };
  });
  const says = `Control charts of ${title}: ${formWords(result.form)}. The words and the table below say the same.`;
  return (
    <DrawnChartsMark
      charts={charts}
      margins={drawing}
      says={says}
      {...(props.style === undefined ? {} : { style: props.style })}
    />
  );
}

function Page({ result, title }: { readonly result: StudyResult; readonly title: string }): JSX.Element {
  return (
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta name="color-scheme" content="light dark" />
        <title>{`Study of ${title}`}</title>
        <style>{pageStyle}</style>
      </head>
      <body>
        <main>
          <h1>Study of {title}</h1>
          <figure class="wide">
            <Charts result={result} title={title} drawing={wide} />
          </figure>
          <figure class="narrow">
            <Charts result={result} title={title} drawing={narrow} />
          </figure>
          <p class="key">
            A ring round a point: beyond a limit where the ring is heavy and the dot large, completing a pattern where
            the ring is thin. Dashes are limits, the plain line between them is the centre, hatching is where nothing is
            known.
          </p>
          {resultWords(result).map(({ head, lines }) => (
            <section key={head}>
              <h2>{head}</h2>
              {lines.map((line) => (
                <p key={line}>{line}</p>
              ))}
            </section>
          ))}
          {result.charts.map((studied) => (
            <PointTable key={studied.chart.kind} studied={studied} />
          ))}
        </main>
      </body>
    </html>
  );
}

/** A page with more rows than this is of no use to anybody. */
const rowsAtMost = 2000;

function PointTable({ studied }: { readonly studied: StudiedChart }): JSX.Element {
  const { chart, signals } = studied;
  const n = chart.values.length;
  const places: number[] = [];
  for (let place = 0; place < n && places.length < rowsAtMost; place++) {
    if (n <= rowsAtMost || isMarked(chart, signals, place)) places.push(place);
  }
  const name = kindWords(chart.kind);
  const which = n <= rowsAtMost ? "every point" : `the first ${rowsAtMost} points that signal, of ${n} points`;
  return (
    <section>
      <h2>
        {name}: {which}
      </h2>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by keyboard too */}
      <section class="table" tabIndex={0} aria-label={`Table of ${name}`}>
        <table>
          <thead>
            <tr>
              {["Point", "Value", "Lower limit", "Upper limit", "Verdict", "Patterns"].map((head) => (
                <th key={head} scope="col">
                  {head}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {places.map((place) => (
              <tr key={place} {...(isMarked(chart, signals, place) ? { class: "marked" } : {})}>
                <th scope="row">{place}</th>
                <td>{text(chart.values.at(place))}</td>
                <td>{text(chart.lower.at(place))}</td>
                <td>{text(chart.upper.at(place))}</td>
                <td>{verdictAt(chart, place)}</td>
                <td>
                  {signals
                    .at(place)
                    .map(({ rule, side }) => (side === "both" ? rule : `${rule} ${side}`))
                    .join(", ")}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </section>
  );
}

const pageStyle = `${drawnChartsStyle}
html { color-scheme: light dark; background: var(--panel); color: var(--ink); font: 16px/1.45 Atkinson Hyperlegible Next, system-ui, sans-serif; }
body { margin: 0; }
main { max-width: 980px; margin: 0 auto; padding: 12px; }
h1 { font-size: 22px; overflow-wrap: anywhere; }
h2 { font-size: 17px; margin: 24px 0 4px; }
p { margin: 4px 0; max-width: 75ch; overflow-wrap: anywhere; }
figure { margin: 0; overflow-x: auto; }
.key { color: var(--light); font-size: 14px; }
.narrow { display: none; }
@media (max-width: 700px) { .wide { display: none; } .narrow { display: block; } }
.table { max-height: 70vh; overflow: auto; border: 1px solid var(--hair); }
table { border-collapse: collapse; font-size: 14px; font-variant-numeric: tabular-nums; white-space: nowrap; }
th, td { padding: 4px 14px 4px 8px; text-align: right; border-bottom: 1px solid var(--hair); }
thead th { position: sticky; top: 0; background: var(--panel); }
td:nth-child(n + 5), thead th:nth-child(n + 5) { text-align: left; }
tbody th { font-weight: 400; }
.marked th, .marked td { font-weight: 650; }
@media print { .table { max-height: none; } }`;
