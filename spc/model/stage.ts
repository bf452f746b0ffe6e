/** One step of the pipeline: same inputs, same outputs, wherever the stream is cut. */
export interface Stage<State, In, Out> {
  readonly initial: State;
  step(state: State, input: In): Step<State, Out>;
}

/** What a step leaves behind. `state` is plain JSON, because checkpoints are. */
export interface Step<State, Out> {
  readonly state: State;
  readonly out: readonly Out[];
}

/** What most steps say; made once, for a step comes with each reading. */
export const nothing: readonly never[] = [];

/** Feeds inputs through a stage, from its initial state or from a checkpoint. */
export function advance<State, In, Out>(
  stage: Stage<State, In, Out>,
  inputs: Iterable<In>,
  from: State = stage.initial,
): Step<State, Out> {
  let state = from;
  const out: Out[] = [];
  for (const input of inputs) {
    const next = stage.step(state, input);
    state = next.state;
    out.push(...next.out);
  }
  return { state, out };
}
