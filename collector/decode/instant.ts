const daysInMonth = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31] as const;

/**
 * Milliseconds of an ISO 8601 instant `YYYY-MM-DDTHH:MM:SS[.fff](Z|+HH:MM|-HH:MM)`, or undefined for anything else.
 * Stricter than `Date.parse`, which takes local times and 30 February. Digits below the millisecond are cut off.
 */
export function instantMs(text: string): number | undefined {
  if (
    text[4] !== "-" ||
    text[7] !== "-" ||
    text[10] !== "T" ||
    text[13] !== ":" ||
    text[16] !== ":" ||
    text.length < 20
  ) {
    return undefined;
  }
  const year = digits(text, 0, 4);
  const month = digits(text, 5, 7);
  const day = digits(text, 8, 10);
  const hour = digits(text, 11, 13);
  const minute = digits(text, 14, 16);
  const second = digits(text, 17, 19);
  // NaN fails each of these.
  if (!(month >= 1 && month <= 12 && day >= 1 && day <= lengthOf(month, year))) return undefined;
  if (!(hour <= 23 && minute <= 59 && second <= 59)) return undefined;

  let at = 19;
  let ms = 0;
  if (text[at] === ".") {
    const from = ++at;
    while (isDigit(text.charCodeAt(at))) at++;
    if (at === from) return undefined;
    ms = Math.trunc(Number(`0.${text.slice(from, Math.min(at, from + 3))}`) * 1000 + 1e-6);
  }
  const offset = offsetMs(text, at);
  if (offset === undefined) return undefined;
  return utcMs(year, month, day) + hour * 3_600_000 + minute * 60_000 + second * 1000 + ms - offset;
}

function offsetMs(text: string, at: number): number | undefined {
  if (text[at] === "Z" && text.length === at + 1) return 0;
  const sign = text[at] === "+" ? 1 : text[at] === "-" ? -1 : undefined;
  if (sign === undefined || text.length !== at + 6 || text[at + 3] !== ":") return undefined;
  const hour = digits(text, at + 1, at + 3);
  const minute = digits(text, at + 4, at + 6);
  return hour <= 23 && minute <= 59 ? sign * (hour * 3_600_000 + minute * 60_000) : undefined;
}

/** `Date.UTC` takes years below 100 for 19xx. */
function utcMs(year: number, month: number, day: number): number {
  const ms = Date.UTC(2000 + (year % 400), month - 1, day);
  const cycleMs = 146_097 * 86_400_000;
  return ms + (Math.floor(year / 400) - 5) * cycleMs;
}

function lengthOf(month: number, year: number): number {
  const leap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
  return month === 2 && leap ? 29 : (daysInMonth[month - 1] ?? 0);
}

/** The number that digits from `from` up to `to` spell, or NaN. */
function digits(text: string, from: number, to: number): number {
  let number = 0;
  for (let i = from; i < to; i++) {
    const code = text.charCodeAt(i);
    if (!isDigit(code)) return Number.NaN;
    number = number * 10 + code - 48;
  }
  return number;
}

function isDigit(code: number): boolean {
  return code >= 48 && code <= 57;
}
