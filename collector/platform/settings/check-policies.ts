import type { Finding, SettingsPath } from "./mistake.ts";
import type { StationKind } from "./schema.ts";

type CharacteristicSettings = StationKind["characteristics"][number];
type Policy = CharacteristicSettings["signals"][number];

/** What a signal may be called: nothing above `for-review` without a first step, and no run rule above it at all. */
export function checkPolicies(characteristic: CharacteristicSettings, path: SettingsPath): readonly Finding[] {
  const specified =
    characteristic.specification !== undefined ||
    Object.values(characteristic.parts).some((part) => part.specification !== undefined);
  return characteristic.signals.flatMap((policy, index) => [
    ...labelFindings(policy, [...path, "signals", index]),
    ...placeFindings(policy, [...path, "signals", index], specified),
    ...hiddenFindings(characteristic.signals, index, [...path, "signals", index]),
  ]);
}

function labelFindings(policy: Policy, path: SettingsPath): readonly Finding[] {
  if (policy.label === "for-review") return [];
  if (isRunRule(policy)) {
    return [{ path: [...path, "label"], expected: "for-review: a run rule never calls anyone" }];
  }
  if (policy.doFirst !== undefined) return [];
  return [
    { path: [...path, "doFirst"], expected: `what to do first, without which the label cannot be ${policy.label}` },
  ];
}

function placeFindings(policy: Policy, path: SettingsPath, specified: boolean): readonly Finding[] {
  const bySpecification = policy.rule === "outside-specification";
  if (bySpecification && policy.on !== undefined && policy.on !== "specification") {
    return [{ path: [...path, "on"], expected: "specification, or nothing" }];
  }
  if (!bySpecification && policy.on === "specification") {
    return [{ path: [...path, "on"], expected: "location or spread" }];
  }
  if (isRunRule(policy) && policy.on === "spread") {
    return [{ path: [...path, "on"], expected: "location: run rules are not applied to the spread" }];
  }
  if (bySpecification && !specified) {
    return [
      { path: [...path, "rule"], expected: "a rule other than outside-specification, or a specification beside it" },
    ];
  }
  return [];
}

function isRunRule({ rule }: Policy): boolean {
  return rule !== "beyond-limit" && rule !== "outside-specification";
}

/** The first row that fits rules, so a row that an earlier one covers whole would never be used. */
function hiddenFindings(policies: readonly Policy[], index: number, path: SettingsPath): readonly Finding[] {
  const policy = policies[index]!;
  const by = policies
    .slice(0, index)
    .findIndex(
      (one) =>
        one.rule === policy.rule &&
        meant(one) === meant(policy) &&
        (one.side === undefined || one.side === policy.side),
    );
  if (by === -1) return [];
  return [
    {
      path,
      found: "a policy that is never used",
      expected: `a rule, side or place that signals[${by}] does not cover`,
    },
  ];
}

/** Without `on` a row speaks of the specification for `outside-specification`, of the location chart otherwise. */
function meant(policy: Policy): string {
  return policy.on ?? (policy.rule === "outside-specification" ? "specification" : "location");
}
