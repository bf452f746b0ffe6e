/** Every address the pages ask of the api, in one place. */
export const paths = {
  floor: "/api/floor",
  flags: "/api/flags?limit=1000",
  take: (flag: string): string => `/api/flags/${encodeURIComponent(flag)}/take`,
  done: (flag: string): string => `/api/flags/${encodeURIComponent(flag)}/done`,
  characteristic: (id: string): string => `/api/characteristics/${encodeURIComponent(id)}`,
  /** The newest points of one chart, oldest first: streamed ones and, before them, imported ones. */
  points: (id: string): string => `/api/characteristics/${encodeURIComponent(id)}/points?limit=1000`,
  run: (id: string): string => `/api/runs/${encodeURIComponent(id)}`,
  benchList: "/api/bench",
  bench: (id: string, span: { readonly from: string; readonly to: string } | null): string =>
    `/api/characteristics/${encodeURIComponent(id)}/bench${span === null ? "" : `?${new URLSearchParams({ ...span })}`}`,
  trial: (id: string): string => `/api/characteristics/${encodeURIComponent(id)}/trial`,
  replay: (id: string): string => `/api/characteristics/${encodeURIComponent(id)}/replay`,
  proposals: "/api/proposals",
  openProposals: "/api/proposals?state=open&limit=1000",
  proposal: (id: string): string => `/api/proposals/${encodeURIComponent(id)}`,
  limits: "/api/limits?limit=1000",
  people: "/api/people",
  live: (after: number): string => `/live?after=${after}`,
} as const;

/** Addresses of our own pages. */
export const pages = {
  floor: "/",
  flags: "/flags",
  chart: (id: string, flag?: string): string =>
    `/chart/${encodeURIComponent(id)}${flag === undefined ? "" : `?flag=${encodeURIComponent(flag)}`}`,
  /** `search` as `benchSearch` gives it. */
  bench: (id?: string, search = ""): string =>
    id === undefined ? "/bench" : `/bench/${encodeURIComponent(id)}${search}`,
  limits: "/limits",
  run: (id: string): string => `/run/${encodeURIComponent(id)}`,
} as const;
