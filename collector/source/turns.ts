/** So long may messages keep the event loop before pages, timers and the pipeline get their turn. */
const LONGEST_TURN_MS = 20;

/**
 * Shares out the event loop among the connections of a source. Those with a backlog hand over a chunk each in every turn
 * of the loop, and each chunk may hold thousands of readings: together they would keep it for half a second.
 */
export class Turns {
  readonly #waiting: (() => void)[] = [];
  /** When the work of this turn of the event loop began; undefined while there is none. */
  #begunMs: number | undefined;

  /** Does it at once where this turn has time left, else in a later one, in the order of asking; says whether it is done. */
  take(work: () => void): boolean {
    if (this.#begunMs === undefined) {
      this.#begunMs = performance.now();
      setImmediate(() => this.#next());
    }
    if (this.#waiting.length === 0 && this.#hasTime()) {
      work();
      return true;
    }
    this.#waiting.push(work);
    return false;
  }

  #hasTime(): boolean {
    return this.#begunMs === undefined || performance.now() - this.#begunMs < LONGEST_TURN_MS;
  }

  #next(): void {
    this.#begunMs = performance.now();
    while (this.#waiting.length > 0 && this.#hasTime()) this.#waiting.shift()!();
    if (this.#waiting.length === 0) this.#begunMs = undefined;
    else setImmediate(() => this.#next());
  }
}
