/** Saturation vapour pressure over water, hPa, from Cel: Magnus form with the constants published by the WMO. */
export function saturationHpa(cel: number): number {
  return 6.112 * Math.exp((17.62 * cel) / (243.12 + cel));
}

/** Relative humidity in % of air with that humidity ratio, g of water a kg of dry air. */
export function relativeHumidity(ratio: number, cel: number, ambientHpa: number): number {
  return (100 * ((ratio * ambientHpa) / (621.945 + ratio))) / saturationHpa(cel);
}

/** Humidity ratio, g of water a kg of dry air. */
export function humidityRatio(percent: number, cel: number, ambientHpa: number): number {
  const vapour = (percent / 100) * saturationHpa(cel);
  return (621.945 * vapour) / (ambientHpa - vapour);
}

/** Dew point over water, Cel: Magnus form with the constants published by the WMO. */
export function dewCel(percent: number, cel: number): number {
  const x = Math.log(Math.max(0.1, percent) / 100) + (17.62 * cel) / (243.12 + cel);
  return (243.12 * x) / (17.62 - x);
}
