/** Roles whose values a person weighs, dips or counts, and types in at the station's terminal. */
const roles: ReadonlySet<string> = new Set([
  ...["density", "moisture", "pentane", "glue-mass", "viscosity", "coat", "dip-reading", "density-index"],
  ...["fines", "loi", "gfn", "inspected", "defective"],
  ...["fold", "penetration", "gas", "carbon", "collapse", "distortion", "beady", "leak"],
]);

/** Whether a series, `PX-1/density`, is told by people. */
export function byHand(series: string): boolean {
  const role = series.slice(series.indexOf("/") + 1);
  return roles.has(role) || role.startsWith("chem-");
}
