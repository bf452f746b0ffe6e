import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";

type Ten = readonly [number, number, number, number, number, number, number, number, number, number];

/** Coefficients n1 to n10 of region 4. */
export const REGION_4: Ten = [
  1167.0521452767, -724213.16703206, -17.073846940092, 12020.82470247, -3232555.0322333, 14.91510861353,
  -4823.2657361591, 405113.40542057, -0.23855557567849, 650.17534844798,
];
const [n1, n2, n3, n4, n5, n6, n7, n8, n9, n10] = REGION_4;

/** Freezing point and critical point of water, in K: the ends of the line between water and steam. */
const validK = { from: 273.15, to: 647.096 };

/**
 * Saturation pressure of steam: the absolute pressure at which water of this temperature boils.
 *
 * @shape   tK: 273.15 to 647.096 K, absolute temperature
 * @unit    MPa, absolute and not gauge
 * @method  region 4: theta = T + n9 / (T - n10), A = theta^2 + n1 theta + n2, B = n3 theta^2 + n4 theta + n5,
 *          C = n6 theta^2 + n7 theta + n8, p = (2 C / (-B + sqrt(B^2 - 4 A C)))^4
 * @refuses `temperature-out-of-range` below freezing and above the critical point
 * @cost    O(1)
 * @source  IAPWS R7-97(2012), Industrial Formulation 1997, region 4 (coefficients from memory, proven by Tables 35, 36)
 * @checked tests/reference/spc/physics/steam.test.ts
 */
export function steamPressure(tK: number): Outcome<number> {
  const { from, to } = validK;
  if (!(tK >= from && tK <= to)) {
    return refuse("temperature-out-of-range", `saturated steam is computed from ${from} to ${to} K, got ${tK}`);
  }
  return ok(pressureAt(tK));
}

/**
 * Saturation temperature of steam: how hot steam of this absolute pressure is where nothing but steam is.
 *
 * @shape   pMpa: absolute pressure, 0.000611213 to 22.064 MPa; a gauge reading has the air's pressure added first
 * @unit    K
 * @method  region 4 solved for temperature: beta = p^(1/4), E = beta^2 + n3 beta + n6, F = n1 beta^2 + n4 beta + n7,
 *          G = n2 beta^2 + n5 beta + n8, D = 2 G / (-F - sqrt(F^2 - 4 E G)),
 *          T = (n10 + D - sqrt((n10 + D)^2 - 4 (n9 + n10 D))) / 2
 * @refuses `pressure-out-of-range` outside the pressures of 273.15 and 647.096 K
 * @cost    O(1)
 * @source  IAPWS R7-97(2012), region 4 (coefficients from memory, proven by Tables 35, 36)
 * @checked tests/reference/spc/physics/steam.test.ts
 */
export function steamTemperature(pMpa: number): Outcome<number> {
  // The ends are computed, so that every pressure that steamPressure gives has its way back.
  if (!(pMpa >= pressureAt(validK.from) && pMpa <= pressureAt(validK.to))) {
    return refuse("pressure-out-of-range", `saturated steam has from 0.000611213 to 22.064 MPa absolute, got ${pMpa}`);
  }
  const beta = pMpa ** 0.25;
  const e = beta * beta + n3 * beta + n6;
  const f = n1 * beta * beta + n4 * beta + n7;
  const g = n2 * beta * beta + n5 * beta + n8;
  const d = (2 * g) / (-f - Math.sqrt(f * f - 4 * e * g));
  return ok((n10 + d - Math.sqrt((n10 + d) ** 2 - 4 * (n9 + n10 * d))) / 2);
}

function pressureAt(tK: number): number {
  const theta = tK + n9 / (tK - n10);
  const a = theta * theta + n1 * theta + n2;
  const b = n3 * theta * theta + n4 * theta + n5;
  const c = n6 * theta * theta + n7 * theta + n8;
  return ((2 * c) / (-b + Math.sqrt(b * b - 4 * a * c))) ** 4;
}
