import { type BenchAddress, benchSearch, plainBench } from "../model/bench-address.ts";
import type { LedgerFilter } from "../model/message-words.ts";

/** Every address the pages ask of the api, in one place. */
export const paths = {
  floor: "/api/floor",
  flags: "/api/flags?limit=1000",
  take: (flag: string): string => `/api/flags/${encodeURIComponent(flag)}/take`,
  done: (flag: string): string => `/api/flags/${encodeURIComponent(flag)}/done`,
  characteristic: (id: string): string => `/api/characteristics/${encodeURIComponent(id)}`,
  run: (id: string): string => `/api/runs/${encodeURIComponent(id)}`,
  benchList: "/api/bench",
  /** Without a span the newest points, or as many as show the flag that is asked about. */
  bench: (id: string, { span, flag }: Pick<BenchAddress, "span" | "flag">): string => {
    const query = new URLSearchParams(span === null ? (flag === null ? {} : { flag }) : { ...span });
    return `/api/characteristics/${encodeURIComponent(id)}/bench${query.size === 0 ? "" : `?${query}`}`;
  },
  trial: (id: string): string => `/api/characteristics/${encodeURIComponent(id)}/trial`,
  replay: (id: string): string => `/api/characteristics/${encodeURIComponent(id)}/replay`,
  proposals: "/api/proposals",
  openProposals: "/api/proposals?state=open&limit=1000",
  proposal: (id: string): string => `/api/proposals/${encodeURIComponent(id)}`,
  limits: "/api/limits?limit=1000",
  instruments: "/api/instruments",
  counts: "/api/counts",
  people: "/api/people",
  handBook: "/api/by-hand",
  written: (station: string): string => `/api/by-hand/entries?limit=50&station=${encodeURIComponent(station)}`,
  correctWritten: (id: string): string => `/api/by-hand/entries/${encodeURIComponent(id)}/correct`,
  controlPlan: "/api/control-plan",
  recompute: "/api/recompute",
  recomputations: (station: string): string => `/api/recompute?station=${encodeURIComponent(station)}`,
  setUpBook: "/api/set-up",
  setUps: (station: string): string => `/api/set-up/entries?limit=50&station=${encodeURIComponent(station)}`,
  correctSetUp: (id: string): string => `/api/set-up/entries/${encodeURIComponent(id)}/correct`,
  messageSetUp: "/api/messages/set-up",
  devices: "/api/subscriptions",
  /** The newest messages, or those of one flag, or those before a cursor. */
  messages: ({ flag, after }: Pick<LedgerFilter, "flag" | "after">, limit: number): string => {
    const given = { limit: String(limit), ...(flag === null ? {} : { flag }), ...(after === null ? {} : { after }) };
    return `/api/messages?${new URLSearchParams(given)}`;
  },
  session: "/api/session",
  signOut: "/api/session/end",
  signOutEverywhere: "/api/session/end-all",
  stay: "/api/session/stay",
  secrets: "/api/session/secrets",
  welcome: "/api/welcome",
  lookAtLink: "/api/welcome/look",
  display: "/api/display",
  accounts: "/api/accounts",
  account: (id: string, what = ""): string => `/api/accounts/${encodeURIComponent(id)}${what}`,
  keys: "/api/keys",
  revokeKey: (id: string): string => `/api/keys/${encodeURIComponent(id)}/revoke`,
  record: (search: string): string => `/api/record${search === "" ? "" : `?${search}`}`,
  recordHead: "/api/record/head",
  live: (after: number): string => `/live?after=${after}`,
} as const;

/** Addresses of our own pages. */
export const pages = {
  floor: "/",
  flags: "/flags",
  /** `search` as `benchSearch` gives it. */
  bench: (id?: string, search = ""): string =>
    id === undefined ? "/bench" : `/bench/${encodeURIComponent(id)}${search}`,
  /** A chart on the Bench, with the points that made a flag. */
  evidence: (id: string, flag?: string): string => pages.bench(id, benchSearch({ ...plainBench, flag: flag ?? null })),
  limits: "/limits",
  /** `search` as `instrumentSearch` gives it. */
  instruments: (search = ""): string => `/instruments${search}`,
  byHand: (station: string | null): string =>
    station === null ? "/by-hand" : `/by-hand/${encodeURIComponent(station)}`,
  setUp: (station: string | null): string => (station === null ? "/set-up" : `/set-up/${encodeURIComponent(station)}`),
  /** `search` as `ledgerSearch` gives it. */
  messages: (search = ""): string => `/messages${search}`,
  pocket: "/pocket",
  pocketSetUp: "/pocket/set-up",
  record: "/record",
  plan: "/plan",
  people: "/people",
  run: (id: string): string => `/run/${encodeURIComponent(id)}`,
} as const;
