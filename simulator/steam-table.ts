/**
 * Saturation temperature of steam, Cel, from absolute pressure in bar: IAPWS-IF97 region 4, backward equation (from
 * memory; held by its table 36 in recipe.test.ts). Read from a table, since a shot asks for it two thousand times.
 */
export function saturationCel(barAbsolute: number): number {
  const at = Math.min(tableSize - 2, Math.max(0, (barAbsolute - lowestBar) / stepBar));
  const index = Math.floor(at);
  const before = table[index] as number;
  return before + (at - index) * ((table[index + 1] as number) - before);
}

const lowestBar = 0.2;
const stepBar = 0.002;
const tableSize = 1500;

const n = [
  0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.1202082470247e5, -0.32325550322333e7,
  0.1491510861353e2, -0.48232657361591e4, 0.40511340542057e6, -0.23855557567849, 0.65017534844798e3,
] as const;

export function exactSaturationKelvin(megapascal: number): number {
  const b = megapascal ** 0.25;
  const e = b * b + n[2] * b + n[5];
  const f = n[0] * b * b + n[3] * b + n[6];
  const g = n[1] * b * b + n[4] * b + n[7];
  const d = (2 * g) / (-f - Math.sqrt(f * f - 4 * e * g));
  return (n[9] + d - Math.sqrt((n[9] + d) ** 2 - 4 * (n[8] + n[9] * d))) / 2;
}

const table = Float64Array.from(
  { length: tableSize },
  (_, i) => exactSaturationKelvin((lowestBar + i * stepBar) / 10) - 273.15,
);
