/**
 * SenML units (RFC 8428, section 12.1) and secondary units (RFC 8798, used as RFC 9100 says) as UCUM codes, as far as a
 * series can be in them. SenML's `%` is the ratio itself, 0.5 for a half, whatever its name suggests (note 1 of the
 * registry); relative humidity in percent is `%RH`.
 */
const ucumOfSenml: Readonly<Record<string, string>> = {
  Pa: "Pa",
  hPa: "hPa",
  K: "K",
  Cel: "Cel",
  "/": "1",
  "%": "1",
  count: "1",
  "%RH": "%",
  "m/s2": "m/s2",
  "/100": "%",
  s: "s",
  ms: "ms",
  min: "min",
  h: "h",
  g: "g",
  kg: "kg",
  m: "m",
  mm: "mm",
  "kg/m3": "kg/m3",
  "m/s": "m/s",
  Hz: "Hz",
  "1/s": "Hz",
  "1/min": "/min",
  A: "A",
  mA: "mA",
  N: "N",
};

/** The UCUM code of a SenML unit, or undefined for one that none of our series can be in. */
export function senmlUnit(symbol: string): string | undefined {
  return Object.hasOwn(ucumOfSenml, symbol) ? ucumOfSenml[symbol] : undefined;
}
