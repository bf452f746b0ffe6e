/** A list of numbers in one typed array that grows; nothing is copied when it ends. */
export class GrowingNumbers {
  private array: Float64Array<ArrayBuffer>;
  private used = 0;

  /** `expected` places are set aside at once: the system gives memory only to those that are written. */
  constructor(expected: number) {
    this.array = new Float64Array(Math.max(16, expected));
  }

  get length(): number {
    return this.used;
  }

  push(value: number): void {
    if (this.used === this.array.length) {
      const larger = new Float64Array(grown(this.used));
      larger.set(this.array);
      this.array = larger;
    }
    this.array[this.used++] = value;
  }

  numbers(): Float64Array {
    return this.array.subarray(0, this.used);
  }
}

/**
 * The same for whole numbers below 2^32. A class of its own: a loop over ten million rows is quickest where each place
 * that pushes knows one kind of array.
 */
export class GrowingIndexes {
  private array: Uint32Array<ArrayBuffer>;
  private used = 0;

  constructor(expected: number) {
    this.array = new Uint32Array(Math.max(16, expected));
  }

  get length(): number {
    return this.used;
  }

  push(value: number): void {
    if (this.used === this.array.length) {
      const larger = new Uint32Array(grown(this.used));
      larger.set(this.array);
      this.array = larger;
    }
    this.array[this.used++] = value;
  }

  indexes(): Uint32Array {
    return this.array.subarray(0, this.used);
  }
}

function grown(length: number): number {
  return Math.ceil(length * 1.5) + 16;
}
