/**
 * Where signing in leads back to: a page of ours, whatever a link says. Judged as a browser reads it, which takes out tabs and
 * line breaks and takes a backslash for a slash.
 */
export function ownPath(given: string | null, origin: string): string {
  if (given === null || !given.startsWith("/") || !URL.canParse(given, origin)) return "/";
  const { origin: where, pathname, search, hash } = new URL(given, origin);
  if (where !== origin || /^\/(sign-in|welcome|display)\b/.test(pathname) || pathname.startsWith("//")) return "/";
  return `${pathname}${search}${hash}`;
}
