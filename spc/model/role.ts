/** What a person is at the plant, least first. What each may do stands in one table of the api. */
export const roles = [
  "viewer",
  "shift-lead",
  "inspector",
  "maintenance",
  "process-engineer",
  "works-manager",
  "administrator",
] as const;

export type Role = (typeof roles)[number];
