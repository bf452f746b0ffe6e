import { type Outcome, ok } from "../model/outcome.ts";
import { REGION_4, steamTemperature } from "./steam.ts";

/**
 * How much hotter saturated steam is for each bar more: turns an error of pressure into one of temperature.
 *
 * @shape   pMpa: absolute pressure, 0.000611213 to 22.064 MPa
 * @unit    K/bar
 * @method  the saturation line F(beta, theta) = 0 of region 4 differentiated: dT/dp = (dbeta/dp) (dtheta/dbeta) / (dtheta/dT),
 *          beta = p^(1/4), theta = T + n9 / (T - n10)
 * @refuses `pressure-out-of-range`
 * @cost    O(1)
 * @source  IAPWS R7-97(2012), region 4; the derivative derived here
 * @checked tests/reference/spc/physics/air-in-steam.test.ts
 */
export function steamSlope(pMpa: number): Outcome<number> {
  const temperature = steamTemperature(pMpa);
  if (!temperature.ok) return temperature;
  const [n1, n2, n3, n4, n5, n6, n7, , n9, n10] = REGION_4;
  const t = temperature.value;
  const b = pMpa ** 0.25;
  const theta = t + n9 / (t - n10);
  const byBeta = 2 * b * (theta * theta + n1 * theta + n2) + n3 * theta * theta + n4 * theta + n5;
  const byTheta = b * b * (2 * theta + n1) + b * (2 * n3 * theta + n4) + 2 * n6 * theta + n7;
  const thetaByT = 1 - n9 / (t - n10) ** 2;
  const betaByP = b / (4 * pMpa);
  return ok((-byBeta / byTheta / thetaByT) * betaByP * 0.1);
}
