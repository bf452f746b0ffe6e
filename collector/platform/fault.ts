/** The outside world failed. `code` is stable and documented; `cause` keeps the original. */
export class Fault extends Error {
  override readonly name = "Fault";
  readonly code: string;
  readonly retryable: boolean;
  constructor(code: string, message: string, options: { readonly retryable: boolean; readonly cause?: unknown }) {
    super(message, { cause: options.cause });
    this.code = code;
    this.retryable = options.retryable;
  }
}
