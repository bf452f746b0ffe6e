/** Clock readings in the site's own zone; the api sends UTC. */
export interface SiteTimes {
  /** `02:15:08` */
  clock(ms: number): string;
  /** `02:15` */
  minute(ms: number): string;
  /** `+01:00` */
  offset(ms: number): string;
  /** `24 Nov` */
  day(ms: number): string;
  /** `24 Nov 2026` */
  fullDay(ms: number): string;
  /** `Mon 06:00` */
  weekday(ms: number): string;
  /** `24 Nov 02:15`, or `02:15` when it is the same day as `now`. */
  near(ms: number, now: number): string;
}

const second = 1_000;
const minute = 60 * second;
const hour = 60 * minute;
const day = 24 * hour;

const made = new Map<string, SiteTimes>();

export function siteTimes(zone: string): SiteTimes {
  const known = made.get(zone);
  if (known !== undefined) return known;
  const fresh = makeTimes(zone);
  made.set(zone, fresh);
  return fresh;
}

function makeTimes(zone: string): SiteTimes {
  const format = (options: Intl.DateTimeFormatOptions): Intl.DateTimeFormat =>
    new Intl.DateTimeFormat("en-GB", { timeZone: zone, hourCycle: "h23", ...options });
  const clock = format({ hour: "2-digit", minute: "2-digit", second: "2-digit" });
  const short = format({ hour: "2-digit", minute: "2-digit" });
  const date = format({ day: "numeric", month: "short" });
  const full = format({ day: "numeric", month: "short", year: "numeric" });
  const weekday = format({ weekday: "short" });
  const offset = format({ timeZoneName: "longOffset" });
  const times: SiteTimes = {
    clock: (ms) => clock.format(ms),
    minute: (ms) => short.format(ms),
    offset: (ms) => {
      const name = offset.formatToParts(ms).find((part) => part.type === "timeZoneName")?.value ?? "GMT";
      return name === "GMT" ? "+00:00" : name.replace("GMT", "").replace("-", "\u2212");
    },
    // Some engines write `Sept`; three letters keep columns straight.
    day: (ms) => date.format(ms).replace("Sept", "Sep"),
    fullDay: (ms) => full.format(ms).replace("Sept", "Sep"),
    weekday: (ms) => `${weekday.format(ms)} ${short.format(ms)}`,
    near: (ms, now) => {
      if (date.format(ms) === date.format(now) && Math.abs(now - ms) < day) return short.format(ms);
      return `${times.day(ms)} ${short.format(ms)}`;
    },
  };
  return times;
}

/** Age of a value as read at a glance: `22 s`, `4 min`, `6 h`, `3 d`. Never negative. */
export function ageWord(ms: number): string {
  const age = Math.max(0, ms);
  if (age < minute) return `${Math.floor(age / second)} s`;
  if (age < hour) return `${Math.floor(age / minute)} min`;
  if (age < 2 * day) return `${Math.floor(age / hour)} h`;
  return `${Math.floor(age / day)} d`;
}

/** Time waited, to the second where that matters: `1:40`, `12:05`, `3 h 12 min`, `2 d 4 h`. */
export function waitWord(ms: number): string {
  const wait = Math.max(0, ms);
  if (wait < hour) {
    const seconds = Math.floor((wait % minute) / second);
    return `${Math.floor(wait / minute)}:${String(seconds).padStart(2, "0")}`;
  }
  if (wait < day) return `${Math.floor(wait / hour)} h ${Math.floor((wait % hour) / minute)} min`;
  return `${Math.floor(wait / day)} d ${Math.floor((wait % day) / hour)} h`;
}

/** A span inside a run, for axes: `0:45`, `1 h 20`. */
export function spanWord(ms: number): string {
  if (ms < hour) return `${Math.floor(ms / minute)}:${String(Math.round((ms % minute) / second)).padStart(2, "0")}`;
  return `${Math.floor(ms / hour)} h ${String(Math.round((ms % hour) / minute)).padStart(2, "0")}`;
}
