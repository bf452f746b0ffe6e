import type { Characteristic } from "../model/characteristic.ts";
import type { LimitSet } from "../model/limit-set.ts";
import { judge } from "../model/point.ts";
import type { Side, Signal, SignalOn } from "../model/signal.ts";
import type { Specification } from "../model/specification.ts";
import { OUTSIDE_SPECIFICATION } from "../rules/rule.ts";
import { signalWords } from "./signal-policy.ts";

/** What fired at a point, before it has a name and a flag. */
export interface Finding {
  readonly rule: string;
  readonly side: Side;
  readonly on: SignalOn;
  readonly members: readonly string[];
  readonly value: number;
  readonly line: number;
  /** Distance from the centre in sigma of the plotted statistic; left out for the specification. */
  readonly z?: number;
}

/** A value strictly outside what is required of it. */
export function outsideSpecification(value: number | null, specification: Specification | null): readonly Finding[] {
  if (value === null || specification === null) return [];
  const { lower, upper } = specification;
  const found = (side: Side, line: number): readonly Finding[] => [
    { rule: OUTSIDE_SPECIFICATION, side, on: "specification", members: [], value, line },
  ];
  if (upper !== undefined && judge(value, upper, upper) === "above") return found("above", upper);
  if (lower !== undefined && judge(value, lower, lower) === "below") return found("below", lower);
  return [];
}

/** Names a finding: its id follows from its parts, its words from the settings. */
export function asSignal(
  finding: Finding,
  characteristic: Characteristic,
  limits: LimitSet | null,
  point: { readonly run: string; readonly atMs: number },
  flag: { readonly id: string; readonly cameBackFrom: string | null },
): Signal {
  const { rule, side, on, value, line, z } = finding;
  const limitSet = on === "specification" ? null : (limits?.id ?? null);
  return {
    id: `${limitSet ?? characteristic.id}/${point.run}/${on}/${rule}/${side}`,
    characteristic: characteristic.id,
    station: characteristic.station,
    run: point.run,
    rule,
    side,
    on,
    limitSet,
    members: finding.members.length > 0 ? finding.members : [point.run],
    value,
    line,
    z: z ?? null,
    atMs: point.atMs,
    flag: flag.id,
    ...signalWords(characteristic.policies, rule, side, on, characteristic.chart),
    ...(flag.cameBackFrom === null ? {} : { cameBackFrom: flag.cameBackFrom }),
  };
}

/** In sigma, and still a number where a wild value would overflow it. */
export function distance(value: number, centre: number, sigma: number): number {
  const z = (value - centre) / sigma;
  return Math.min(Math.max(z, -Number.MAX_VALUE), Number.MAX_VALUE);
}
