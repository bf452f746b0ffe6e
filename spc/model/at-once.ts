/** What long work comes to when nobody has anything else to do between its steps. */
export function atOnce<T>(steps: Generator<undefined, T>): T {
  let step = steps.next();
  while (!step.done) step = steps.next();
  return step.value;
}
