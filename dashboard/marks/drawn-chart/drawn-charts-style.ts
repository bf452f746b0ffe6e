/** Colours for light and dark, chosen by the reader's own setting; shape says the same as colour everywhere. */
const themed = `
:root, svg.drawn-charts { --panel: #f7f7f5; --ink: #1f2326; --line: #3f454b; --limit: #6a7076; --light: #575d62; --hair: #deded9; --out: #a8280f; }
@media (prefers-color-scheme: dark) {
  :root, svg.drawn-charts { --panel: #24282c; --ink: #e6e9ec; --line: #c9ced3; --limit: #8d949b; --light: #a3aab0; --hair: #3a4046; --out: #ff8a66; }
}`;

/** Style of the drawings of a study, for a page or inside a picture that stands alone. */
export const drawnChartsStyle: string = `${themed}
.drawn-charts { display: block; max-width: 100%; font: 12px Atkinson Hyperlegible Next, system-ui, sans-serif; }
.drawn-charts .panel { fill: var(--panel); }
.drawn-charts text { fill: var(--ink); }
.drawn-charts .tick { fill: var(--light); }
.drawn-charts .name { font-weight: 650; font-size: 13px; }
.drawn-charts .edge .number { font-weight: 650; }
.drawn-charts path { fill: none; }
.drawn-charts .hair { stroke: var(--hair); }
.drawn-charts .gap { stroke: var(--limit); stroke-opacity: 0.6; }
.drawn-charts .centre { stroke: var(--limit); }
.drawn-charts .limit { stroke: var(--limit); stroke-width: 1.4; stroke-dasharray: 7 4; }
.drawn-charts .data { stroke: var(--line); stroke-width: 1.2; stroke-linejoin: round; }
.drawn-charts .extremes { fill: var(--line); fill-opacity: 0.45; stroke: var(--line); stroke-width: 0.8; }
.drawn-charts .dot, .drawn-charts .core { fill: var(--line); }
.drawn-charts .mark circle { fill: none; stroke: var(--ink); stroke-width: 1.4; }
.drawn-charts .mark .core { fill: var(--ink); stroke: none; }
.drawn-charts .mark.out circle { stroke: var(--out); stroke-width: 2; }
.drawn-charts .mark.out .core { fill: var(--out); }`;
