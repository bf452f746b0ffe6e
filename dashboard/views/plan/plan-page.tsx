import type { JSX } from "preact";
import type { WireControlPlan, WirePlanRow } from "../../../api/contract/plan-wire.ts";
import { paths } from "../../client/paths.ts";
import { counted, sentenceCase } from "../../model/numbers.ts";
import { chartText, reactionText, requirements, ruleText, sampleText, sourceText } from "../../model/plan-words.ts";
import { siteTimes } from "../../model/times.ts";
import { unitWord } from "../../model/units.ts";
import { Trouble } from "../shell/trouble.tsx";
import { useAnswer } from "../shell/use-answer.ts";
import { WaitingFor } from "../shell/waiting-for.tsx";

/** The control plan of the settings in force, for the screen and for paper: A4 across, black on white. */
export function PlanPage(): JSX.Element {
  const { answer } = useAnswer<WireControlPlan>(paths.controlPlan);
  const { value: plan, trouble, refused } = answer.value;
  if (plan === null) {
    if (trouble !== null) return <Trouble what="No control plan" why={trouble} refused={refused} />;
    return <WaitingFor what="Control plan" />;
  }
  const stages = [...new Set(plan.rows.map(({ stage }) => stage))];
  const times = siteTimes(plan.zone);
  const at = Date.parse(plan.at);
  return (
    <article class="plan-page">
      <header class="title">
        <h1>
          <b>Control plan</b>
        </h1>
        <p class="light">
          {plan.site}, {counted(plan.rows.length, "characteristic")}, as the settings have it on {times.fullDay(at)}{" "}
          {times.minute(at)} {times.offset(at)} (Steadypour {plan.version})
        </p>
        <button type="button" class="plain no-print" onClick={() => window.print()}>
          Print …
        </button>
      </header>
      <p>
        A starting point, not a recommendation: a plant's own limits come from its own study. Specifications are
        requirements and never control limits. This tool informs; it is no safety function, and it releases nothing.
        Local law, the site's risk assessment and qualified people govern.
      </p>
      {plan.rows.length === 0 ? <p class="note">Nothing is watched yet: the settings name no characteristic.</p> : null}
      {stages.map((stage) => (
        <Stage key={stage} stage={stage} rows={plan.rows.filter((row) => row.stage === stage)} />
      ))}
    </article>
  );
}

function Stage({ stage, rows }: { readonly stage: string; readonly rows: readonly WirePlanRow[] }): JSX.Element {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls sideways must be reached by keyboard
    <section class="plan-stage" tabIndex={0} aria-label={`Control plan of ${stage}`}>
      <table>
        <caption>{stage}</caption>
        <thead>
          <tr>
            {["Stations", "Characteristic", "Requirement", "Chart", "Sample", "Rules", "First action", "Source"].map(
              (head) => (
                <th key={head} scope="col">
                  {head}
                </th>
              ),
            )}
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <Row key={`${row.kind} ${row.feature}`} row={row} />
          ))}
        </tbody>
      </table>
    </section>
  );
}

function Row({ row }: { readonly row: WirePlanRow }): JSX.Element {
  const unit = unitWord(row.unit, row.reference, row.quantity);
  return (
    <tr data-plan={`${row.kind}:${row.feature}`}>
      <td>{row.stations.join(", ")}</td>
      <th scope="row">
        {sentenceCase(row.name)}
        <span class="light">
          {row.feature}
          {unit === "" ? "" : `, ${unit}`}
        </span>
      </th>
      <td>
        {requirements(row).map((line) => (
          <span key={line} class="line">
            {line}
          </span>
        ))}
      </td>
      <td>{chartText(row)}</td>
      <td>{sampleText(row)}</td>
      <td>{ruleText(row)}</td>
      <td>{reactionText(row)}</td>
      <td>{sourceText(row)}</td>
    </tr>
  );
}
