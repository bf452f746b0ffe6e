/** Names of the rules, in the order in which they are listed everywhere. */
export const ruleIds = [
  "beyond-limit",
  "nine-on-one-side",
  "six-in-one-direction",
  "fourteen-alternating",
  "two-of-three-beyond-two-sigma",
  "four-of-five-beyond-one-sigma",
  "fifteen-within-one-sigma",
  "eight-outside-one-sigma",
] as const;

export type RuleId = (typeof ruleIds)[number];
