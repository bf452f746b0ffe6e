import type { JSX } from "preact";

/** Above what was read before, once it can't be read again. */
export function NotNewest({ trouble }: { readonly trouble: string | null | undefined }): JSX.Element | null {
  if (trouble === null || trouble === undefined) return null;
  return (
    <p class="note" role="status">
      Not the newest: {trouble}. Trying again …
    </p>
  );
}
