/** What another station behind the same supply shows of the same since a flag began. */
export interface BesideStation {
  readonly station: string;
  readonly shows: "within" | "out" | "nothing-yet";
}

/** A supply in words, and how its stations are called together. */
export interface BesideSupply {
  readonly name: string;
  readonly of: string;
}

/**
 * One station against all that share a supply with it: what is its own shows at one, what the supply does shows at all.
 * Where the others have not run since, nobody knows yet.
 */
export function besideWords(station: string, supply: BesideSupply, others: readonly BesideStation[]): string {
  const ran = others.filter(({ shows }) => shows !== "nothing-yet");
  const out = ran.filter(({ shows }) => shows === "out").map((one) => one.station);
  const { name, of } = supply;
  if (ran.length === 0) {
    return `None of the other ${others.length} ${of} on ${name} has run since: ${station} and ${name} are not told apart yet.`;
  }
  if (out.length === 0) {
    const all = ran.length === others.length ? `all ${ran.length}` : `${ran.length} of ${others.length}`;
    return `${station} alone: ${all} other ${of} on ${name} ran since and stand within their limits, so look at ${station} before ${name}.`;
  }
  return `${out.join(", ")} on ${name} ${out.length === 1 ? "is" : "are"} out as well: look at ${name} before ${station}.`;
}
