import type { JSX } from "preact";
import type { WireBench, WireChance, WireRulePrice } from "../../../api/contract/bench-wire.ts";
import { type RuleId, ruleIds } from "../../../spc/rules/rule-ids.ts";
import { ruleName } from "../../model/bench-rules.ts";
import { rate, whole } from "../../model/bench-words.ts";
import { sentenceCase } from "../../model/numbers.ts";
import { openTrial } from "./bench-words.tsx";
import type { OpenTrial } from "./use-trial.ts";

/** What every rule costs in chance flags, before it is switched on. A switch changes the proposal, never what rules. */
export function RulePrices({ bench, trial }: { readonly bench: WireBench; readonly trial: OpenTrial }): JSX.Element {
  const inForce = bench.price.filter(({ on }) => on).map(({ rule }) => rule);
  const chosen = trial.choice?.rules ?? inForce;
  const { value, asking } = trial.answer;
  const before = bench.chance?.aWeek ?? null;
  const after = trial.choice === null ? null : (value?.chance?.aWeek ?? null);
  const set = (rule: string, on: boolean): void => {
    const rules = ruleIds.filter((one) => (one === rule ? on : chosen.includes(one)));
    if (rules.length === 0) return;
    if (trial.choice === null) openTrial(bench, trial, rules);
    else trial.choose({ ...trial.choice, rules });
  };
  return (
    <section class="prices" aria-labelledby="prices" aria-busy={asking}>
      <h2 id="prices">Price of each rule</h2>
      <p class="light">
        Flags a week that chance alone gives, with nothing wrong, at {whole(bench.pointsAWeek)} points a week. A switch
        here changes the proposal, not the limits in force.
      </p>
      <p class="price-sum" role="status">
        In force: <b data-price-before={before ?? ""}>{before === null ? "not stated" : rate(before)}</b> a week by the
        location chart{withPair(bench.chance)}.
        {trial.choice === null ? null : (
          <>
            {" "}
            As proposed:{" "}
            <b data-price-after={asking || after === null ? "" : after}>
              {asking ? "computing …" : after === null ? "not stated" : rate(after)}
            </b>{" "}
            a week{asking ? "" : withPair(value?.chance ?? null)}.
          </>
        )}
      </p>
      <ul>
        {bench.price.map((price) => (
          <Row
            key={price.rule}
            price={price}
            on={(chosen as readonly string[]).includes(price.rule)}
            last={chosen.length === 1}
            set={(on) => set(price.rule as RuleId, on)}
          />
        ))}
      </ul>
    </section>
  );
}

/** People see both charts: what the spread chart beside it adds. */
function withPair(chance: WireChance | null): string {
  return chance === null || chance.pair.aWeek === null ? "" : `, ${rate(chance.pair.aWeek)} with the spread chart`;
}

function Row(props: {
  readonly price: WireRulePrice;
  readonly on: boolean;
  /** Of one rule alone: some rule has to be on. */
  readonly last: boolean;
  readonly set: (on: boolean) => void;
}): JSX.Element {
  const { price, on } = props;
  const { withoutIt, withIt, pairWithoutIt, pairWithIt, onceIn } = price;
  const priced = withoutIt !== null && withIt !== null;
  return (
    <li data-rule={price.rule} data-on={price.on}>
      <label>
        <input
          type="checkbox"
          role="switch"
          checked={on}
          aria-checked={on}
          disabled={on && props.last}
          onChange={(event) => props.set(event.currentTarget.checked)}
        />
        <span class="rule-name">{sentenceCase(ruleName(price.rule))}</span>
      </label>
      <span class="light">{onceIn === null ? "" : `alone once in ${whole(onceIn)} points`}</span>
      <span data-without={withoutIt ?? ""} data-with={withIt ?? ""}>
        {!price.taken
          ? "this chart takes no such rule: it would open no flag"
          : !priced
            ? "price not stated"
            : `${rate(withoutIt)} a week without it, ${rate(withIt)} with it`}
        {pairWithoutIt === null || pairWithIt === null ? null : (
          <span class="light">
            {" "}
            ({rate(pairWithoutIt)} and {rate(pairWithIt)} with the spread chart)
          </span>
        )}
        {price.standardError === null ? null : <span class="light"> ± {rate(price.standardError)}</span>}
      </span>
      <span class="light now">{price.on ? "on now" : "off now"}</span>
    </li>
  );
}
