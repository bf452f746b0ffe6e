import { type Signal, signal } from "@preact/signals";

/** Which page, and what it is about. */
export type Route =
  | { readonly page: "floor" }
  | { readonly page: "flags" }
  | { readonly page: "run"; readonly id: string }
  /** Without an id the list alone, or the chart that needs a look most. */
  | { readonly page: "bench"; readonly id: string | null; readonly search: string }
  | { readonly page: "limits"; readonly search: string }
  | { readonly page: "instruments"; readonly search: string }
  /** Without a station the choice of one. */
  | { readonly page: "by-hand"; readonly station: string | null }
  | { readonly page: "set-up"; readonly station: string | null }
  | { readonly page: "messages"; readonly search: string }
  | { readonly page: "record"; readonly search: string }
  | { readonly page: "sign-in"; readonly search: string }
  | { readonly page: "plan" }
  | { readonly page: "people" }
  | { readonly page: "account" }
  | { readonly page: "welcome" }
  | { readonly page: "display" }
  | { readonly page: "unknown"; readonly path: string };

export const route: Signal<Route> = signal<Route>({ page: "floor" });

export function routeOf(path: string, search: string): Route {
  const [first = "", second, ...rest] = path.split("/").slice(1);
  if (first === "" && second === undefined) return { page: "floor" };
  if (first === "flags" && (second ?? "") === "") return { page: "flags" };
  if (first === "limits" && (second ?? "") === "") return { page: "limits", search };
  if (first === "instruments" && (second ?? "") === "") return { page: "instruments", search };
  if (first === "messages" && (second ?? "") === "") return { page: "messages", search };
  if ((first === "record" || first === "sign-in") && (second ?? "") === "") return { page: first, search };
  if (first === "plan" && (second ?? "") === "") return { page: "plan" };
  if ((second ?? "") === "" && isPeoplePage(first)) return { page: first };
  if (first === "bench" && (second ?? "") === "") return { page: "bench", id: null, search };
  if ((first === "by-hand" || first === "set-up") && (second ?? "") === "") return { page: first, station: null };
  const id = rest.length === 0 && second !== undefined ? decoded(second) : null;
  if (first === "bench" && id) return { page: "bench", id, search };
  if ((first === "by-hand" || first === "set-up") && id) return { page: first, station: id };
  if (first === "run" && id) return { page: "run", id };
  return { page: "unknown", path };
}

const peoplePages = ["people", "account", "welcome", "display"] as const;

function isPeoplePage(first: string): first is (typeof peoplePages)[number] {
  return (peoplePages as readonly string[]).includes(first);
}

function decoded(part: string): string | null {
  try {
    return decodeURIComponent(part);
  } catch {
    return null;
  }
}

export function go(href: string): void {
  history.pushState(null, "", href);
  read();
  window.scrollTo(0, 0);
}

/** The address of what the page already shows: no new page, no step back to the same one. */
export function amend(href: string): void {
  history.replaceState(null, "", href);
  read();
}

/**
 * Plain left clicks on our own links change the page without loading it anew; all else stays the browser's, as is what
 * the api answers and the phone's pages, which are built apart.
 */
export function startRoutes(): void {
  read();
  window.addEventListener("popstate", read);
  document.addEventListener("click", (event) => {
    if (event.defaultPrevented || event.button !== 0) return;
    if (event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
    const link = event.target instanceof Element ? event.target.closest("a") : null;
    const href = link?.getAttribute("href");
    if (!href?.startsWith("/") || link?.target || /^\/(api|pocket)\b/.test(href)) return;
    event.preventDefault();
    go(href);
  });
}

function read(): void {
  route.value = routeOf(location.pathname, location.search);
}
