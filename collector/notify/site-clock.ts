/** What the site's own clocks show at an instant. */
export interface SiteClock {
  /** `02:14` */
  time(ms: number): string;
  /** Counted from midnight. */
  minuteOfDay(ms: number): number;
}

export function siteClock(zone: string): SiteClock {
  const format = new Intl.DateTimeFormat("en-GB", {
    ...{ timeZone: zone, hourCycle: "h23", hour: "2-digit", minute: "2-digit" },
  });
  const time = (ms: number): string => format.format(ms);
  return {
    time,
    minuteOfDay: (ms) => {
      const [hour, minute] = time(ms).split(":").map(Number) as [number, number];
      return 60 * hour + minute;
    },
  };
}
